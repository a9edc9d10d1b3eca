// Points on a photo: the four corners of a face, clockwise from its left top, then the place of a grey card.
export const CORNERS = 4;
export const NAMES = ['photo.leftTop', 'photo.rightTop', 'photo.rightBottom', 'photo.leftBottom', 'photo.greyCard'] as const;

// To begin with a frame inside the picture, to be dragged to the face.
export const frameIn = (width: number, height: number): number[][] =>
  [[0.1, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]].map(([x, y]) => [Math.round(x! * width), Math.round(y! * height)]);
