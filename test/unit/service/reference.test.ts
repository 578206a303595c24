import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import { SUBJECTS } from '../../../server/src/rules/subjects.ts';
import { exampleMachine } from '../../../server/src/service/exampleMachine.ts';
import { referencePages, withReadmeIndex } from '../../../server/src/service/reference.ts';

const root = new URL('../../../', import.meta.url);
const read = (path: string): string => readFileSync(new URL(path, root), 'utf8').replaceAll('\r\n', '\n');
const pages = referencePages();

describe('the reference pages', () => {
  it.each([...pages])('docs/%s is what `node scripts/write-docs.mjs` writes', (name, text) => {
    expect(read(`docs/${name}`)).toBe(text);
  });

  it('docs/rules/ holds a page for each rule and nothing else', () => {
    expect(readdirSync(new URL('docs/rules/', root)).sort()).toEqual(RULES.map(({ id }) => `${id}.md`).sort());
  });

  it('the index in the README is what the script writes', () => {
    const readme = read('README.md');
    expect(withReadmeIndex(readme)).toBe(readme);
    expect(withReadmeIndex('# No marks\n')).toBeNull();
  });

  it('link to files that are there', () => {
    const linked = [...pages, ['../README.md', read('README.md')] as const];
    for (const [name, text] of linked) {
      for (const [, path = ''] of text.matchAll(/\]\(([^)#:]+)(?:#[^)]*)?\)/g)) {
        const target = new URL(path, new URL(`docs/${name}`, root));
        expect(() => readFileSync(target), `${name} -> ${path}`).not.toThrow();
      }
    }
  });
});

describe('the rules’ pages', () => {
  it.each(RULES.map((rule) => [rule.id, rule] as const))('%s shows what is found in its example', (id, rule) => {
    const page = pages.get(`rules/${id}.md`) ?? '';
    expect(page).toMatch(/\n- Line \d+/);
    expect(page).toContain(`\`\`\`gcode\n${rule.good.text.trimEnd()}\n\`\`\``);
    expect(page).toContain(`; bookend-ignore ${id}: `);
    expect(page).toContain(`"bookend.rules": { "${id}": "off" }`);
  });

  it('run their examples on the machine of the fixtures', () => {
    const fixture = readMachine(read('test/fixtures/machines/egret.machine.json'));
    expect(fixture.problems).toEqual([]);
    expect(exampleMachine('').machine).toEqual(fixture.machine);
  });

  it('every rule has one subject', () => {
    expect(SUBJECTS.flatMap(({ ids }) => ids).sort()).toEqual(RULES.map(({ id }) => id).sort());
  });
});
