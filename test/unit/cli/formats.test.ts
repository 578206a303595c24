import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { default as Draft04 } from 'ajv-draft-04';
import { describe, expect, test } from 'vitest';
import { utf8, zip } from '../../program/packages.ts';
import { type Files, runCli } from './run.ts';
import { GOOD, heron, wall } from './shop.ts';

// The OASIS schema of SARIF 2.1.0, as the package ships it.
const schemaFile = createRequire(import.meta.url).resolve('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json');
const schema = JSON.parse(readFileSync(schemaFile, 'utf8'));
const formats = {
  uri: (text: string) => /^[a-z][a-z0-9+.-]*:[^\s<>"{}|\\^`]*$/i.test(text), // RFC 3986, as far as characters go
  'uri-reference': (text: string) => /^[^\s<>"{}|\\^`]*$/.test(text) && !/%(?![0-9a-f]{2})/i.test(text),
  'date-time': (text: string) => !Number.isNaN(Date.parse(text)),
};
const valid = new Draft04({ strict: false, unicodeRegExp: false, allErrors: true, formats }).compile(schema);

const files: Files = {
  '/shop/heron.machine.json': heron,
  '/shop/a b%.start.gcode': `${GOOD}G1 X260 F6000\nG1 X1,5 ; \u{1f525}\n`,
  '/shop/open.end.gcode':
    'G91\nG1 Z{{ part.top - 100 }}\n{{# tools }}\n{{# heat.bed.first }}\n{{/ tools }}\n{{/ heat.bed.first }}\n',
  '/shop/long.gcode': wall(40_000),
  '/shop/tray': zip([{ name: 'batches/größe "1".gcode', bytes: utf8(wall(3)) }]),
};
const all = ['a b%.start.gcode', 'open.end.gcode', 'long.gcode', 'tray', 'gone.gcode'];

describe('SARIF', () => {
  test('is valid against the schema, whatever is in it', async () => {
    const { code, out } = await runCli(['check', '--format', 'sarif', ...all], files);
    expect(code).toBe(2);
    const log = JSON.parse(out);
    expect(valid(log), JSON.stringify(valid.errors)).toBe(true);
    expect(valid({ ...log, version: '2.0.0' })).toBe(false);
    const none = JSON.parse((await runCli(['check', '--format', 'sarif', 'gone.gcode'], files)).out);
    expect(valid(none), JSON.stringify(valid.errors)).toBe(true);
  });

  test('holds what the text report holds', async () => {
    const { out } = await runCli(['check', '--format', 'sarif', ...all], files);
    const [run] = JSON.parse(out).runs;
    expect(run.tool.driver).toMatchObject({ name: 'Bookend', version: '1.2.3' });
    expect(run.invocations).toEqual([
      {
        executionSuccessful: false,
        exitCode: 2,
        toolExecutionNotifications: [
          { level: 'error', message: { text: 'bookend: cannot check gone.gcode: there is no such file.' } },
        ],
      },
    ]);
    for (const result of run.results) {
      expect(run.tool.driver.rules[result.ruleIndex].id).toBe(result.ruleId);
      const { uri, index } = result.locations[0].physicalLocation.artifactLocation;
      expect(run.artifacts[index].location.uri).toBe(uri);
    }
    const far = run.results.find(({ ruleId }: { ruleId: string }) => ruleId === 'beyond-reach');
    expect(far.level).toBe('error');
    expect(far.locations[0].physicalLocation).toEqual({
      artifactLocation: { uri: 'a%20b%25.start.gcode', index: 0 },
      region: { startLine: 7, startColumn: 4, endLine: 7, endColumn: 8 },
    });
    const inside = run.artifacts.find(({ parentIndex }: { parentIndex?: number }) => parentIndex !== undefined);
    expect(inside.location.uri).toBe('batches/gr%C3%B6%C3%9Fe%20%221%22.gcode');
    expect(run.artifacts[inside.parentIndex].location.uri).toBe('tray');
    const text = await runCli(['check', ...all], files);
    const count = [...text.out.matchAll(/^\S.*?:\d+:\d+: (error|warning|info|hint|undecided) /gm)].length;
    expect(count).toBeGreaterThan(8);
    expect(run.results).toHaveLength(count);
  });

  test('paths outside the folder are file URIs', async () => {
    const { out } = await runCli(['check', '--format=sarif', '/far off/a.gcode'], { '/far off/a.gcode': 'G1 X1e3\n' });
    expect(JSON.parse(out).runs[0].artifacts[0].location.uri).toBe('file:///far%20off/a.gcode');
  });
});

describe('JUnit', () => {
  /** Elements in order with their attributes; throws where tags do not close. */
  const elements = (xml: string) => {
    const open: string[] = [];
    const found: { name: string; attributes: Record<string, string> }[] = [];
    for (const [, close, name = '', rest = '', empty] of xml.matchAll(
      /<(\/?)([\w-]+)((?:\s+[\w-]+="[^"<]*")*)\s*(\/?)>/g,
    )) {
      if (close) {
        if (open.pop() !== name) throw new Error(`</${name}> closes nothing`);
        continue;
      }
      if (!empty) open.push(name);
      found.push({
        name,
        attributes: Object.fromEntries([...rest.matchAll(/([\w-]+)="([^"]*)"/g)].map((m) => [m[1], m[2]])),
      });
    }
    if (open.length > 0) throw new Error(`<${open}> stays open`);
    // Outside tags no markup may be left.
    if (/[<>]|&(?!(amp|lt|gt|quot|#10);)/.test(xml.replace(/<\?xml[^>]*\?>|<[^<>]*>/g, ''))) throw new Error('markup');
    return found;
  };

  test('a suite for each file, a case for each rule, errors fail', async () => {
    const { out } = await runCli(['check', '--format', 'junit', ...all], files);
    const found = elements(out);
    const suites = found.filter(({ name }) => name === 'testsuite').map(({ attributes }) => attributes);
    expect(suites.map(({ name }) => name)).toEqual([
      'a b%.start.gcode',
      'open.end.gcode',
      'long.gcode',
      'tray(batches/größe &quot;1&quot;.gcode)',
      'bookend',
    ]);
    const count = (name: string): number => found.filter((one) => one.name === name).length;
    const sum = (key: string): number => suites.reduce((all, suite) => all + Number(suite[key]), 0);
    expect([sum('tests'), sum('failures'), sum('errors')]).toEqual([count('testcase'), count('failure'), 1]);
    expect(found[0]?.attributes).toMatchObject({ tests: String(sum('tests')), failures: String(sum('failures')) });
    expect(found.find(({ name }) => name === 'error')?.attributes.message).toContain('gone.gcode');
    const rules = found.filter(({ name }) => name === 'failure').map(({ attributes }) => attributes.type);
    expect(rules).toContain('bad-number');
    expect(rules).toContain('beyond-reach');
  });

  test('a file without findings is a case that passes; markup and control characters are no markup', async () => {
    const good = await runCli(['check', '--format', 'junit', 'a.start.gcode'], {
      '/shop/heron.machine.json': heron,
      '/shop/a.start.gcode': GOOD,
    });
    expect(elements(good.out).at(-1)).toEqual({
      name: 'testcase',
      attributes: { classname: 'a.start.gcode', name: 'no finding' },
    });
    const odd = await runCli(['check', '--format', 'junit', 'a<&.gcode'], {
      '/shop/a<&.gcode': 'G28\nM117 {{ "<&\u0001\u{1f525}" + nope }}\nG1 X"<\u0002>"\n',
    });
    expect(elements(odd.out).length).toBeGreaterThan(2);
    for (const control of ['\u0001', '\u0002']) expect(odd.out).not.toContain(control);
  });
});

describe('what is told', () => {
  const at = { '/shop/heron.machine.json': heron, '/shop/a.start.gcode': `${GOOD}G1 X260 F60000\nG1 X1,5\nG1 Y300\n` };

  test('--max-findings tells so many, counts all and leaves the exit code', async () => {
    const everything = await runCli(['check', 'a.start.gcode'], at);
    const { code, out } = await runCli(['check', '--max-findings', '1', 'a.start.gcode'], at);
    expect(code).toBe(everything.code);
    expect(out.match(/^a\.start\.gcode:\d+:\d+: (error|warning|info|hint) /gm)).toHaveLength(1);
    const count = everything.out.match(/^a\.start\.gcode:\d+:\d+: \w+ [\w-]+:/gm)?.length ?? 0;
    expect(out.split('\n').at(-2)).toBe(
      everything.out
        .split('\n')
        .at(-2)
        ?.replace(/\.$/, `; ${count - 1} not told.`),
    );
    const json = JSON.parse((await runCli(['check', '--max-findings=0', '--format=json', 'a.start.gcode'], at)).out);
    expect(json).toMatchObject({ left: count, files: [{ findings: [] }] });
  });

  test('--severity leaves out what is weaker, and never an error', async () => {
    const { code, out } = await runCli(['check', '--severity', 'error', 'a.start.gcode'], at);
    expect(code).toBe(1);
    expect(out).not.toMatch(/: (warning|info|hint) /);
    expect(out).toMatch(/: error /);
    expect(out).toMatch(/; \d+ not told\.$/m);
  });

  test('--quiet: findings and nothing else', async () => {
    const good = await runCli(['check', '--quiet', 'b.start.gcode'], { '/shop/b.start.gcode': GOOD });
    expect(good).toMatchObject({ code: 0, out: '', err: '' });
    const { out } = await runCli(['check', '--quiet', 'a.start.gcode'], at);
    expect(out).toMatch(/: error /);
    expect(out).not.toMatch(/ in 1 file|: note:/);
  });

  test('a long program: the first of each rule, then how many', async () => {
    const far = `${GOOD}${'G1 X300 F6000\nG1 X1\n'.repeat(60_000)}`;
    const { out } = await runCli(['check', 'a.gcode'], { '/shop/heron.machine.json': heron, '/shop/a.gcode': far });
    expect(out).toMatch(/^a\.gcode:7:4: error beyond-reach: X 300 is 66 mm past/m);
    expect(out).toMatch(/^a\.gcode: note: beyond-reach: (60,000|120,000) in all, the first at line 7\.$/m);
    expect(out).toMatch(/^(60|120),\d{3} errors, /m);
    expect(out.length).toBeLessThan(20_000);
  });
});
