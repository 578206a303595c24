/** The unit of a word's number. 'length' follows G20/G21; 'mm' does not. */
export type WordUnit =
  | 'length'
  | 'length/min'
  | 'mm'
  | 'mm/s'
  | 'mm/min'
  | 'mm/s2'
  | 'degrees C'
  | 'degrees'
  | 's'
  | 'ms'
  | 'min'
  | 'dwell' // the P of G4: ms or s, as the controller's trait says
  | 'fan' // the S of M106: scale as the controller's trait says
  | 'percent'
  | 'mm3'
  | 'steps/mm'
  | 'mA'
  | 'Hz'
  | 'count' // a whole number of things
  | 'index' // a number that picks one of several
  | 'switch' // 0 or 1
  | 'number'
  | 'text'
  | 'none';
