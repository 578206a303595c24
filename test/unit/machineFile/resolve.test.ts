import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { chooseMachine, folderOf, lists, plainPath, resolvePath } from '../../../server/src/machineFile/resolve.ts';

function candidate(path: string, start: string | string[] = []) {
  const bed = { shape: 'circle', centre: { x: 0, y: 0 }, radius: 87 };
  return { path, machine: readMachine(JSON.stringify({ name: path, bed, sequences: { start } })).machine };
}
const nothing = { pick: null, defaultMachine: null, candidates: [] };

describe('chooseMachine', () => {
  const near = candidate('/shop/heron/heron.machine.json');
  const above = candidate('/shop/shop.machine.json');
  const lister = candidate('/other/tall.machine.json', '../shop/heron/a.start.gcode');
  const sequencePath = '/shop/heron/a.start.gcode';
  const all = { ...nothing, sequencePath, candidates: [above, near, lister], defaultMachine: '/d.machine.json' };

  it('goes by pick, list, nearness, default, in this order', () => {
    expect(chooseMachine({ ...all, pick: '/p.machine.json' })).toMatchObject({
      path: '/p.machine.json',
      reason: 'picked',
    });
    expect(chooseMachine(all)).toMatchObject({ path: lister.path, reason: 'listed' });
    expect(chooseMachine({ ...all, candidates: [above, near] })).toMatchObject({ path: near.path, reason: 'nearest' });
    expect(chooseMachine({ ...all, candidates: [above] })).toMatchObject({ path: above.path, reason: 'nearest' });
    expect(chooseMachine({ ...all, candidates: [] })).toMatchObject({ path: '/d.machine.json', reason: 'default' });
    expect(chooseMachine({ ...nothing, sequencePath })).toEqual({ path: null, reason: 'none', among: [] });
  });

  it('does not take a machine from a folder beside or below', () => {
    const beside = candidate('/shop/lantern/lantern.machine.json');
    const below = candidate('/shop/heron/old/old.machine.json');
    const likeNamed = candidate('/shop/her/her.machine.json');
    const candidates = [beside, below, likeNamed];
    expect(chooseMachine({ ...nothing, sequencePath, candidates }).reason).toBe('none');
  });

  it('does not guess between two in the nearest folder, and never looks past them', () => {
    const twin = candidate('/shop/heron/twin.machine.json');
    const candidates = [above, near, twin];
    expect(chooseMachine({ ...nothing, sequencePath, candidates })).toEqual({
      path: null,
      reason: 'several',
      among: [near.path, twin.path],
    });
    expect(chooseMachine({ ...all, candidates })).toMatchObject({ path: '/d.machine.json', reason: 'default' });
  });

  it('takes the nearest of several that list it', () => {
    const here = candidate('/shop/heron/heron.machine.json', './a.start.gcode');
    expect(chooseMachine({ ...all, candidates: [lister, here] })).toMatchObject({ path: here.path, reason: 'listed' });
    const silent = candidate('/shop/heron/silent.machine.json');
    expect(chooseMachine({ ...all, candidates: [silent, lister, here] })).toMatchObject({ path: here.path });
    const twin = candidate('/shop/heron/twin.machine.json', ['x.gcode', 'a.start.gcode']);
    const both = chooseMachine({ ...nothing, sequencePath, candidates: [here, twin, above] });
    expect(both).toEqual({ path: null, reason: 'several', among: [here.path, twin.path] });
  });

  it('lets a broken machine file that is the only one decide, so that it gets its finding', () => {
    const broken = { path: '/shop/heron/heron.machine.json', machine: null };
    expect(chooseMachine({ ...nothing, sequencePath, candidates: [broken, above] })).toMatchObject({
      path: broken.path,
    });
  });

  it('has only pick and default for a text without a place', () => {
    expect(chooseMachine({ ...all, sequencePath: null })).toMatchObject({ reason: 'default' });
    expect(chooseMachine({ ...all, sequencePath: null, defaultMachine: null })).toMatchObject({ reason: 'none' });
  });

  it('works on URIs and on Windows paths', () => {
    const byUri = candidate('file:///c%3A/shop/m.machine.json', './sub/a.start.gcode');
    expect(lists(byUri, 'file:///c%3A/shop/sub/a.start.gcode')).toBe(true);
    const windows = candidate('C:\\shop\\m.machine.json');
    const chosen = chooseMachine({ ...nothing, sequencePath: 'C:\\shop\\sub\\a.start.gcode', candidates: [windows] });
    expect(chosen).toMatchObject({ path: windows.path, reason: 'nearest' });
  });
});

describe('paths', () => {
  it.each([
    ['/a/b', './c.gcode', '/a/b/c.gcode'],
    ['/a/b', 'sub/c.gcode', '/a/b/sub/c.gcode'],
    ['/a/b', '../c.gcode', '/a/c.gcode'],
    ['/a', '../../../c.gcode', '/c.gcode'],
    ['/a/b', '/c.gcode', '/c.gcode'],
    ['a', '../../c.gcode', '../c.gcode'],
    ['', 'c.gcode', '/c.gcode'],
    ['file:///a', './c.gcode', 'file:///a/c.gcode'],
    ['file:///a', '../../c.gcode', 'file:///c.gcode'],
    ['vscode-vfs://host/a', 'c.gcode', 'vscode-vfs://host/a/c.gcode'],
    ['vscode-vfs://host/a', '/c.gcode', 'vscode-vfs://host/c.gcode'],
    ['C:/a', '.\\b\\c.gcode', 'C:/a/b/c.gcode'],
    ['/a', 'D:/c.gcode', 'D:/c.gcode'],
  ])('%s + %s = %s', (folder, name, path) => {
    expect(resolvePath(folder, name)).toBe(path);
  });

  it.each([
    ['/a/b.x', '/a'],
    ['/b.x', ''],
    ['', ''],
    ['b.x', ''],
    ['file:///b.x', 'file://'],
    ['file://', 'file://'],
    ['C:/b.x', 'C:'],
  ])('the folder of %s is %s', (path, folder) => {
    expect(folderOf(path)).toBe(folder);
  });

  it('has one spelling', () => {
    expect(plainPath('a//b/./c/../d')).toBe('a/b/d');
    expect(plainPath('/../a')).toBe('/a');
  });
});
