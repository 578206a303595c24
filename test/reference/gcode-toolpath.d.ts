declare module 'gcode-toolpath' {
  interface Point {
    x: number;
    y: number;
    z: number;
  }
  interface Modal {
    motion: string;
    plane: string;
  }
  /** The part of the library that the tests use; it comes without types of its own. */
  export default class Toolpath {
    constructor(options: {
      addLine: (modal: Modal, from: Point, to: Point) => void;
      addArcCurve: (modal: Modal, from: Point, to: Point, centre: Point) => void;
    });
    loadFromStringSync(text: string): void;
  }
}
