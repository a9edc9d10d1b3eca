declare module 'gettext-parser' {
  interface Entry {
    msgctxt?: string;
    msgid: string;
    msgstr: string[];
    comments?: { reference?: string; flag?: string };
  }
  export const po: { parse(file: Buffer | string): { translations: Record<string, Record<string, Entry>> } };
}
