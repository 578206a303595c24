import type { Axis, Effect, HeaterKind } from '../machine/effect.ts';
import type { Traits } from '../machine/machine.ts';

const HEATERS: Readonly<Record<HeaterKind, string>> = { nozzle: 'nozzle', bed: 'bed', chamber: 'chamber' };

/**
 * What an effect changes, as a clause without a full stop: 'the bed heats, and the machine waits for it'.
 * @param traits The controller's; null where the machine is not known.
 */
export function effectText(effect: Effect, traits: Traits | null): string {
  switch (effect.do) {
    case 'line':
      return effect.rapid ? 'the nozzle travels in a straight line' : 'the nozzle moves in a straight line';
    case 'arc':
      if (traits && !traits.arcs) return 'nothing sure: this controller does not understand arcs';
      return `the nozzle moves ${effect.clockwise ? 'clockwise' : 'counter-clockwise'} along an arc`;
    case 'curve':
      return 'the nozzle moves along a curve; only its end is reckoned with';
    case 'dwell':
      return 'the machine stands still for a time';
    case 'plane':
      return `arcs lie in the ${effect.plane.toUpperCase()} plane`;
    case 'units':
      return effect.inches ? 'lengths are read in inches' : 'lengths are read in mm';
    case 'distance':
      return distanceText(effect.relative, traits);
    case 'extrusion-mode':
      return effect.relative ? 'E is read as a step' : 'E is read as a position';
    case 'feed-mode':
      return effect.inverse ? 'F counts moves a minute' : 'F is a speed';
    case 'feed':
      return 'later moves run at this speed';
    case 'machine-coordinates':
      return "this line's positions are the machine's own";
    case 'home':
      return 'the axes stand at home, and their position is known';
    case 'set-position':
      return 'the position reads anew; nothing moves';
    case 'clear-offset':
      return 'the shift that G92 made is gone';
    case 'work-offset':
      return `positions count from work offset ${effect.index}`;
    case 'position-unknown':
      return `where ${axisList(effect.axes)} stand${effect.axes.length === 1 ? 's' : ''} afterwards is not known`;
    case 'heat':
      return `the ${HEATERS[effect.heater]} heats${effect.to === undefined ? '' : ` to ${effect.to} °C`}, and the machine ${effect.wait ? 'waits for it' : 'goes on at once'}`;
    case 'await-heat':
      return `the machine waits for ${listed(effect.heaters.map((h) => `the ${HEATERS[h]}`))}`;
    case 'fan':
      return effect.on ? "the part's fan turns" : "the part's fan stands still";
    case 'motors':
      return effect.on ? 'the motors hold' : 'the motors are loose, and the position can get lost';
    case 'select-tool':
      return 'another tool is in use';
    case 'allow-cold':
      return 'filament may be fed cold';
    case 'speed-factor':
      return 'later moves run faster or slower';
    case 'flow-factor':
      return 'later moves feed more or less filament';
    case 'retract':
      return 'filament is pulled back';
    case 'unretract':
      return 'filament is pushed forward again';
    case 'move-to':
      return moveText(effect);
    case 'extrude':
      return `${effect.length} mm of filament are fed`;
    case 'stop':
      return 'nothing behind it runs';
  }
}

function distanceText(relative: boolean, traits: Traits | null): string {
  const axes = traits?.distanceGovernsE ? 'X, Y, Z and E are' : 'X, Y and Z are';
  const doubt = traits ? '' : ' (on some controllers E too)';
  return `${axes} read as ${relative ? 'steps' : 'positions'}${doubt}`;
}

function moveText(effect: { readonly x?: number; readonly y?: number; readonly z?: number }): string {
  const places = (['x', 'y', 'z'] as const).flatMap((axis) => {
    const at = effect[axis];
    return at === undefined ? [] : [`${axis.toUpperCase()} ${at}`];
  });
  return places.length === 0
    ? 'the nozzle stays where it is'
    : `the nozzle moves to ${places.join(', ')} mm in machine positions`;
}

const axisList = (axes: readonly Axis[]): string =>
  axes.length === 0 ? 'no axis' : listed(axes.map((axis) => axis.toUpperCase()));

const listed = (parts: readonly string[]): string =>
  parts.length < 2 ? (parts[0] ?? '') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
