import { describe, expect, test } from 'vitest';
import { contributes } from '../../../package.json';
import { COMMANDS } from '../../../server/src/cli/commandTable.ts';
import { PACKAGE_LIMITS } from '../../../server/src/cli/packageLimits.ts';
import { members, utf8, zip } from '../../program/packages.ts';
import { some } from '../../quick/share.ts';
import { type Files, runCli } from './run.ts';
import { wall } from './shop.ts';

const large = utf8(wall(20_000));
const hollow = utf8(`G28\n${'\n'.repeat(1_200_000)}`);
const files: Files = {
  '/shop/large.zip': zip([{ name: 'large.gcode', bytes: large }]),
  '/shop/large.gz': members(large),
  '/shop/members.gz': members(utf8(wall(20)), utf8(wall(20)), utf8(wall(20))),
  '/shop/hollow.zip': zip([{ name: 'hollow.gcode', bytes: hollow }]),
  '/shop/many.zip': zip([1, 2, 3].map((n) => ({ name: `${n}.gcode`, bytes: utf8(wall(n)) }))),
};
const COMMANDS_OF_PACKAGES = ['check', 'list', 'extract', 'summary'];

test('the options are named as the editor’s settings are', () => {
  const settings = Object.keys(contributes.configuration.properties).filter((name) => name.includes('.packages.'));
  const camel = (option: string) => option.slice(2).replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
  expect(PACKAGE_LIMITS.map(({ name }) => `bookend.packages.${camel(name)}`)).toEqual(settings);
  const having = COMMANDS.filter(({ options }) => PACKAGE_LIMITS.every((one) => options.includes(one)));
  expect(having.map(({ name }) => name)).toEqual(COMMANDS_OF_PACKAGES);
});

describe.each(some(COMMANDS_OF_PACKAGES))('%s', (command) => {
  const told = async (...args: string[]) => {
    const { code, out, err } = await runCli([command, ...args], files);
    return { code, all: out + err };
  };

  test('a program that is too large names the option, which lets it pass', async () => {
    const short = await told('--largest-entry', '500kB', 'large.zip');
    expect(short.all).toMatch(/more than the 500 kB that are read.*raise --largest-entry\./);
    expect(short.code).toBe(command === 'list' ? 0 : 2);
    const long = await told('--largest-entry=0.0008GB', 'large.zip');
    expect(long.all).not.toContain('raise');
    expect(long.code).toBeLessThan(2);
  });

  test('a gzip file, whose size is known at its end only', async () => {
    const short = await told('--largest-entry', '10 kb', 'large.gz');
    expect(short).toEqual({ code: 2, all: expect.stringContaining('more than the 10 kB that are read') });
    expect(short.all).toContain('raise --largest-entry');
  });

  test('a program that packs too well', async () => {
    const refused = await told('hollow.zip');
    expect(refused.all).toMatch(/over 250 times.*raise --highest-ratio\./);
    const read = await told('--highest-ratio', '1100', 'hollow.zip');
    expect(read.all).not.toContain('raise');
    expect(read.code).toBeLessThan(2);
  });

  test('more entries than are read', async () => {
    const refused = await told('--most-entries', '2', 'many.zip');
    expect(refused).toEqual({
      code: 2,
      all: expect.stringContaining('holds 3 entries, more than the 2 that are read'),
    });
    expect(refused.all).toContain('raise --most-entries');
    expect((await told('--most-entries', '3', 'many.zip')).all).not.toContain('raise');
  });

  test('more members of a gzip file than are read', async () => {
    const refused = await told('--most-members', '2', 'members.gz');
    expect(refused.code).toBe(2);
    expect(refused.all).toMatch(/more than 2 members \(parts that are packed one by one\).*raise --most-members\./);
    const read = await told('--most-members', '3', 'members.gz');
    expect(read.all).not.toContain('raise');
    expect(read.code).toBeLessThan(2);
  });

  test.each([
    ['--largest-entry', '8', /--largest-entry 8 is no size; write a number with its unit, such as 500MB or 8GB\./],
    ['--largest-entry', '0GB', /is no size/],
    ['--largest-entry', 'GB', /is no size/],
    ['--largest-entry', '-1GB', /is no size/],
    ['--largest-entry', '1e3MB', /is no size/],
    ['--highest-ratio', '0', /--highest-ratio 0 is no ratio; write a number of 1 or more, such as 250\./],
    ['--highest-ratio', 'any', /is no ratio/],
    ['--highest-ratio', 'Infinity', /is no ratio/],
    ['--most-entries', '0', /is no number of entries; write a whole number of 1 or more, such as 10000\./],
    ['--most-entries', '2.5', /is no number of entries/],
    ['--most-entries', '', /--most-entries needs a value/],
    ['--most-members', '0', /is not a number of members; write a whole number of 1 or more, such as 10000\./],
    ['--most-members', '1e3', /is not a number of members/],
  ])('%s %s', async (option, value, words) => {
    const { code, out, err } = await runCli([command, `${option}=${value}`, 'large.zip'], files);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(words);
  });
});
