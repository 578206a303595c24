import { Array as ArrayOf, Literal, Number as Num, Object as Obj, Optional, Tuple, Union } from '@sinclair/typebox';
import { about, choice, DEFAULTS, FAR, place, size, text } from './schemaParts.ts';

// Beds, reaches and keep-outs in the machine file's schema.

const point = (title: string, description: string, example: { x: number; y: number }) =>
  Obj(
    { x: place('X', 'Along X.', example.x), y: place('Y', 'Along Y.', example.y) },
    about(title, description, { examples: [example] }),
  );

const sides = {
  left: place('Left edge', 'The smallest X. 0 where the origin is the front left corner.', 0),
  right: place('Right edge', 'The largest X; more than left.', 228),
  front: place('Front edge', 'The smallest Y. 0 where the origin is the front left corner.', 0),
  back: place('Back edge', 'The largest Y; more than front.', 206),
};
const shape = <T extends string>(name: T, description: string) =>
  Literal(name, about('Shape', description, { examples: [name] }));
const corners = ArrayOf(
  Tuple([place('X', 'X of this corner.', 0), place('Y', 'Y of this corner.', 0)], {
    ...about('Corner', 'One corner as [x, y]. Unit: mm.', { examples: [[0, 0]] }),
  }),
  {
    ...about(
      'Corners',
      'The corners in the order in which the outline goes round, at least 3; the last joins the first. The outline must not cross itself. Unit: mm.',
      {
        examples: [
          [
            [-80, -80],
            [80, -80],
            [0, 90],
          ],
        ],
      },
    ),
    minItems: 3,
    maxItems: 1000,
  },
);

const rectangle = {
  shape: shape('rectangle', 'A rectangle: left, right, front, back.'),
  ...sides,
};
const circle = {
  shape: shape('circle', 'A circle: centre and radius.'),
  centre: point('Centre', 'The middle of the circle. {x: 0, y: 0} where the origin is the centre of the bed.', {
    x: 0,
    y: 0,
  }),
  radius: size('Radius', 'Half of the diameter. More than 0. Unit: mm.', FAR, [87]),
};
const polygon = { shape: shape('polygon', 'Any outline: points.'), points: corners };

export const BedSchema = Union(
  [
    Obj(rectangle, about('Rectangle', 'A rectangular bed.')),
    Obj(circle, about('Circle', 'A round bed.')),
    Obj(polygon, about('Polygon', 'A bed of any outline.')),
  ],
  about(
    'Bed',
    'Where the machine may extrude, in machine coordinates. Required: without it nothing can be said about where the filament goes. Unit: mm.',
    { examples: [{ shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 }] },
  ),
);

const height = {
  bottom: Optional(
    Num({
      ...about('Lowest', 'The lowest Z that the nozzle may go to. Left out: 0. Unit: mm.', {
        default: DEFAULTS.bottom,
        examples: [0],
      }),
      minimum: -FAR,
      maximum: FAR,
    }),
  ),
  top: Optional(
    Num({
      ...about('Highest', 'The highest Z that the nozzle may go to. Left out: no limit is checked. Unit: mm.', {
        examples: [232],
      }),
      minimum: -FAR,
      maximum: FAR,
    }),
  ),
};
export const ReachSchema = Union(
  [
    Obj({ ...rectangle, ...height }, about('Rectangle', 'A rectangular reach.')),
    Obj({ ...circle, ...height }, about('Circle', 'A round reach.')),
    Obj({ ...polygon, ...height }, about('Polygon', 'A reach of any outline.')),
  ],
  about(
    'Reach',
    'Where the nozzle may travel: the bed’s shapes, with bottom and top. Usually larger than the bed. Left out: the same as the bed, with no limit in height. Unit: mm.',
    { examples: [{ shape: 'rectangle', left: -5, right: 234, front: -7, back: 217, bottom: 0, top: 232 }] },
  ),
);

export const AsideSchema = Obj(
  {
    name: text('Name', 'What it is called; hover and findings name it.', ['purge strip', 'bin', 'wiper']),
    left: place('Left', 'The smallest X of the box.', -12),
    right: place('Right', 'The largest X of the box; more than left.', -2),
    front: place('Front', 'The smallest Y of the box.', 4),
    back: place('Back', 'The largest Y of the box; more than front.', 96),
    bottom: Optional(place('Bottom', 'The smallest Z of the box. Left out: as low as the nozzle gets.', 0)),
    top: Optional(
      place('Top', 'The largest Z of the box; more than bottom. Left out: as high as the nozzle gets.', 30),
    ),
    may: ArrayOf(
      Union(
        [
          choice('push', 'Filament may be pushed out there, as into a bin or onto a strip.'),
          choice('touch', 'The nozzle may go sideways there as low as it likes, as through a wiper.'),
        ],
        about('Use', 'What may happen there.', { examples: ['push'] }),
      ),
      {
        ...about('What may happen there', 'push, touch, or both.', { examples: [['push'], ['push', 'touch']] }),
        minItems: 1,
        maxItems: 2,
      },
    ),
  },
  about('Area beside the print', 'A box in which filament may be pushed out beside the bed, or something be touched.'),
);

export const KeepOutSchema = Obj(
  {
    name: text('Name', 'What stands there; findings name it.', ['camera arm']),
    left: place('Left', 'The smallest X of the box.', 104),
    right: place('Right', 'The largest X of the box; more than left.', 151),
    front: place('Front', 'The smallest Y of the box.', 209),
    back: place('Back', 'The largest Y of the box; more than front.', 217),
    bottom: place('Bottom', 'The smallest Z of the box.', 0),
    top: place('Top', 'The largest Z of the box; more than bottom.', 47),
  },
  about('Keep-out', 'A box inside the reach that the nozzle must not enter. Its faces may be touched.'),
);
