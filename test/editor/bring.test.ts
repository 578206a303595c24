// A sequence in a language of its own, from first opening to a job filled in, and a question about the controller answered
// by one click: in a VS Code with a Node extension host, driven as a person does. The texts are those of the guide.

import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { type Host, launchNodeHost } from './host.ts';
import {
  answerTrust,
  hoverOver,
  lightBulb,
  openFile,
  picture,
  runCommand,
  select,
  squiggles,
  statusItem,
  visibleText,
} from './page.ts';

const guide = readFileSync(new URL('../../docs/bring-your-own-sequence.md', import.meta.url), 'utf8');
const shown = (name: string): string =>
  new RegExp(`^\`\`\`\\w+ ${name.replaceAll('.', '\\.')}\\r?\\n([\\s\\S]*?)^\`\`\``, 'm').exec(guide)?.[1] ?? '';
const guesses = shown('siskin.placeholders.json').split('// guess: ').length - 1;

const BESIDE = {
  'bring/siskin.start.gcode': shown('siskin.start.gcode'),
  'bring/siskin.end.gcode': shown('siskin.end.gcode'),
  'bring/siskin.machine.json': shown('siskin.machine.json'),
  'yard/dunnock.end.gcode': 'M83\nG91\nG1 Z4 F600\nG90\nG1 E-1.5 F1800\nM104 S0\nM140 S0\nM107\n',
  'yard/dunnock.machine.json':
    '{\n  "name": "Dunnock 193",\n  "bed": { "shape": "rectangle", "left": 0, "right": 193, "front": 0, "back": 171 }\n}\n',
};

let host: Host;
let page: Page;
beforeAll(async () => {
  host = await launchNodeHost(undefined, (folder) => {
    for (const [path, text] of Object.entries(BESIDE)) {
      mkdirSync(join(folder, path, '..'), { recursive: true });
      writeFileSync(join(folder, path), text);
    }
  });
  page = host.page;
  await answerTrust(page, 'trust');
});
afterEach(({ task }) => picture(page, `bring-end-of-${task.name.replaceAll(/\W+/g, '-')}`));
afterAll(() => host?.close());

test('a sequence in an unknown language has one notice, and a draft is one click away', async () => {
  await openFile(page, 'bring/siskin.start.gcode');
  await statusItem(page, 'Siskin 218').waitFor();
  await squiggles(page, 'warning').first().waitFor();
  expect(await squiggles(page, 'error').count()).toBe(0);
  await hoverOver(page, 'M140 S«plate_first»', '«plate_first»', /placeholders in « » 10 times, with sections/);
  await picture(page, 'bring-first-contact');
  await select(page, 'M140 S«plate_first»', 'plate_first');
  await lightBulb(page, 'Draft a vocabulary from this text');
  await expect.poll(() => visibleText(page)).toContain('"standsFor": "heat.bed.first"');
  await picture(page, 'bring-draft');
});

test('the draft is confirmed, saved beside the sequences, and tells what is wrong in them', async () => {
  await select(page, '"delimiters"', 'delimiters');
  await lightBulb(page, `Confirm all ${guesses} guesses`);
  await expect.poll(() => visibleText(page)).not.toContain('// guess:');
  await page.keyboard.press('ControlOrMeta+s');
  // It has its name already, beside the sequence.
  const saved = join(host.folder, 'bring', 'siskin.placeholders.json');
  await expect.poll(() => existsSync(saved) && readFileSync(saved, 'utf8')).toContain('"standsFor": "heat.bed.first"');
  await runCommand(page, 'View: Close All Editors');
  await openFile(page, 'bring/siskin.start.gcode');
  await squiggles(page, 'error').first().waitFor();
  await hoverOver(page, 'G1 Y86 E8.5', 'E8.5', /X -4 is 4 mm past the left of the bed/);
  await hoverOver(page, 'M140 S«plate_first»', 'plate_first', /heat\.bed\.first|Bed temperature/);
  await picture(page, 'bring-checked');
});

test('it is filled in for a job', async () => {
  await runCommand(page, 'Bookend: Show This Sequence Filled In');
  await expect.poll(() => visibleText(page)).toContain('M140 S60');
  await picture(page, 'bring-filled-in');
});

test('a question about the controller is answered by one click into the machine file', async () => {
  await runCommand(page, 'View: Close All Editors');
  await openFile(page, 'yard/dunnock.end.gcode');
  await statusItem(page, 'Dunnock 193').waitFor();
  await squiggles(page, 'info').first().waitFor();
  await picture(page, 'bring-question');
  await select(page, 'G90', 'G90');
  await lightBulb(page, 'G90, G91 and E on Dunnock 193: no');
  await expect.poll(() => squiggles(page, 'info').count()).toBe(0);
  await openFile(page, 'yard/dunnock.machine.json');
  await expect.poll(() => visibleText(page)).toContain('"distanceGovernsE": false');
});
