// A cloth's picture, made small enough to be kept with the job: at most 256 pixels a side, as a data URL (RFC 2397).
const MOST_PIXELS = 256;
const MOST_LETTERS = 150_000; // the service takes 160,000

export async function readSwatch(file: Blob): Promise<string | null> {
  try {
    const whole = await createImageBitmap(file);
    for (let side = MOST_PIXELS; side >= 32; side /= 2) {
      const scale = Math.min(1, side / Math.max(whole.width, whole.height));
      const sheet = document.createElement('canvas');
      sheet.width = Math.max(4, Math.round(whole.width * scale));
      sheet.height = Math.max(4, Math.round(whole.height * scale));
      const pen = sheet.getContext('2d');
      if (!pen) return null;
      pen.imageSmoothingQuality = 'high';
      pen.drawImage(whole, 0, 0, sheet.width, sheet.height);
      const text = sheet.toDataURL('image/jpeg', 0.88);
      if (text.length <= MOST_LETTERS) return text;
    }
    return null;
  } catch {
    return null;
  }
}
