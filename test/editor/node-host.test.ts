// The packaged extension in a VS Code with a Node extension host, as on a desktop, driven as a person does.
// The numbers in the messages follow from the demo's machine files and sequences.

import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { type Host, launchNodeHost } from './host.ts';
import {
  answerTrust,
  followsFilledIn,
  hoverOver,
  openFile,
  pickerRows,
  picture,
  problems,
  runCommand,
  save,
  select,
  squiggles,
  startLastLine,
  statusItem,
  suggestion,
  visibleText,
} from './page.ts';

const carriedOver = 'heron-228/carried-over.start.gcode';
const heronStart = 'heron-228/heron-228.start.gcode';
const cli = fileURLToPath(new URL('../../dist/cli.js', import.meta.url));

let host: Host;
let page: Page;
beforeAll(async () => {
  host = await launchNodeHost();
  page = host.page;
  await answerTrust(page, 'trust');
});
afterEach(({ task }) => picture(page, `node-end-of-${task.name.replaceAll(/\W+/g, '-')}`));
afterAll(() => host?.close());

test('shows what is wrong with a sequence, and says it on hover', async () => {
  await openFile(page, carriedOver);
  await squiggles(page).first().waitFor();
  await statusItem(page, 'Heron 228').waitFor();
  await picture(page, 'node-squiggles');
  // The reach of the Heron ends at X 234.
  const text = await hoverOver(page, 'G1 X281 Y12', 'X281', /281.*47 mm.*234/);
  expect(text).toContain('Heron 228');
  expect(text).toContain('beyond-reach');
  await picture(page, 'node-hover-finding');
});

test('lists the same findings as the command line', async () => {
  const said = findingsOfCli(carriedOver)
    .filter(({ severity }) => severity !== 'undecided')
    .map(({ message, rule, line, column }) => `${message}Bookend${rule}[Ln ${line}, Col ${column}]`);
  await openFile(page, carriedOver);
  await squiggles(page).first().waitFor();
  const shown = await problems(page);
  await picture(page, 'node-problems');
  await page.keyboard.press('ControlOrMeta+j');
  expect(said.length).toBeGreaterThan(4);
  expect(shown.sort()).toEqual(said.sort());
});

/** The findings that the command line has in a file of the folder. */
function findingsOfCli(path: string): Finding[] {
  const args = [cli, 'check', '--format', 'json', join(host.folder, path)];
  const { stdout } = spawnSync(process.execPath, args, { encoding: 'utf8' });
  return JSON.parse(stdout).files[0].findings;
}

interface Finding {
  message: string;
  rule: string;
  severity: string;
  line: number;
  column: number;
}

test('explains a command and a number on hover', async () => {
  await openFile(page, heronStart);
  await hoverOver(page, 'G28  ', 'G28', /hom/i);
  await picture(page, 'node-hover-command');
  await hoverOver(page, 'G1 X37 E14.4', 'E14.4', /14\.4 mm/);
  await picture(page, 'node-hover-word');
  await hoverOver(page, 'M109 S', 'heat.nozzle.first', /°C/);
  await picture(page, 'node-hover-placeholder');
});

test('completes a command and a placeholder', async () => {
  await openFile(page, heronStart);
  await startLastLine(page);
  await page.keyboard.type('M10');
  await suggestion(page, 'M109').click();
  await page.keyboard.type(' S{{ heat.noz');
  await suggestion(page, 'heat.nozzle.first').waitFor();
  await picture(page, 'node-completion');
  await suggestion(page, 'heat.nozzle.first').click();
  await save(page);
  const lastLine = () => readFileSync(join(host.folder, heronStart), 'utf8').trimEnd().split('\n').at(-1);
  await expect.poll(lastLine).toMatch(/^M109 S\{\{ ?heat\.nozzle\.first ?\}\}$/);
});

test('checks against another machine once it is chosen', async () => {
  await openFile(page, heronStart);
  await statusItem(page, 'Heron 228').click();
  const rows = pickerRows(page);
  await rows.filter({ hasText: 'Lantern 174' }).waitFor();
  const labels = await rows.allTextContents();
  for (const expected of [/Heron 228.*228 [x×] 206 mm/, /Lantern 174.*174 mm/, /Poplar 164.*164 [x×] 152 mm/]) {
    expect(labels.some((label) => expected.test(label))).toBe(true);
  }
  await picture(page, 'node-picker');
  await rows.filter({ hasText: 'Lantern 174' }).click();
  await statusItem(page, 'Lantern 174').waitFor();
  await squiggles(page).first().waitFor();
  // The Lantern's bed is round, with its origin in the middle: the line begins at X 209, far past its rim.
  await hoverOver(page, 'G1 X37 E14.4', 'X37', /bed.*Lantern 174/);
  await picture(page, 'node-other-machine');

  await statusItem(page, 'Lantern 174').click();
  await pickerRows(page).filter({ hasText: 'Automatic' }).click();
  await statusItem(page, 'Heron 228').waitFor();
  await expect.poll(() => squiggles(page).count()).toBe(0);
});

test('checks again while the machine file is edited, saved or not', async () => {
  await openFile(page, 'heron-228/heron-228.machine.json');
  await select(page, '"bed": { "shape"', '0', '"left": ');
  await page.keyboard.type('50');
  await picture(page, 'node-machine-edited');
  await openFile(page, heronStart);
  await squiggles(page).first().waitFor();
  await hoverOver(page, 'G1 X37 E14.4', 'X37', /13 mm.*50/);
  await picture(page, 'node-after-machine-edit');

  await openFile(page, 'heron-228/heron-228.machine.json');
  await select(page, '"bed": { "shape"', '50', '"left": ');
  await page.keyboard.type('0');
  await save(page);
  await openFile(page, heronStart);
  await expect.poll(() => squiggles(page).count()).toBe(0);
});

test('checks again when a machine file changes on disk', async () => {
  const file = join(host.folder, 'lantern-174', 'lantern-174.machine.json');
  await openFile(page, 'lantern-174/lantern-174.start.gcode');
  await statusItem(page, 'Lantern 174').waitFor();
  // The purge line runs 82 mm from the middle.
  writeFileSync(file, readFileSync(file, 'utf8').replace('"radius": 87', '"radius": 78'));
  await squiggles(page).first().waitFor();
  await hoverOver(page, 'G3 X18', 'G3', /Arc|arc/);
  await picture(page, 'node-machine-changed-on-disk');
});

test('points at a wrong value in a machine file', async () => {
  await openFile(page, 'poplar-164/poplar-164.machine.json');
  await select(page, '"diameter": 1.75', '1.75');
  await page.keyboard.type('-1.75');
  await hoverOver(page, '"filament"', '-1.75', /Bookend/);
  await picture(page, 'node-wrong-machine-value');
  await page.keyboard.press('ControlOrMeta+z');
});

test('goes on after the server was restarted', async () => {
  await openFile(page, carriedOver);
  await squiggles(page).first().waitFor();
  await runCommand(page, 'Bookend: Restart');
  await select(page, 'G1 X281 Y12', 'X281');
  await page.keyboard.type('X286');
  await hoverOver(page, 'G1 X286 Y12', 'X286', /286.*52 mm.*234/);
  await picture(page, 'node-after-restart');
});

test('shows its log', async () => {
  await runCommand(page, 'Bookend: Show Log');
  // The list of channels stands on this one; a hidden copy of it is there for narrow windows.
  const chosen = () => page.locator('.panel select.monaco-select-box').first().inputValue();
  await expect.poll(chosen).toBe('Bookend');
  await picture(page, 'node-log');
});

test('shows a sequence filled in beside it, following each edit, and does not check what it shows', () =>
  followsFilledIn(page, 'node-filled-in'));

test('says in the status item how many rules hold, and offers a fix', async () => {
  await openFile(page, carriedOver);
  await squiggles(page).first().waitFor();
  await statusItem(page, 'Heron 228').hover();
  const failing = findingsOfCli(carriedOver).filter(({ severity }) => severity !== 'undecided');
  const verdict = `[3-9]\\d rules hold for every job, ${new Set(failing.map(({ rule }) => rule)).size} fail,`;
  // The editor sets such texts with no-break spaces.
  await page.locator('.monaco-hover', { hasText: new RegExp(verdict.replaceAll(' ', '\\s')) }).waitFor();
  await picture(page, 'node-verdict');
  await select(page, 'M140 S{{', 'heat.bed.frist');
  await page.keyboard.press('ControlOrMeta+.');
  const fix = page.locator('.action-widget .monaco-list-row', { hasText: 'heat.bed.first' }).first();
  await fix.waitFor();
  await picture(page, 'node-fix');
  await page.keyboard.press('Enter');
  await expect.poll(() => visibleText(page)).toContain('M140 S{{ heat.bed.first }}');
  await page.keyboard.press('ControlOrMeta+z');
});
