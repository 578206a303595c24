// Fixes, ignores, severities, colours, folds and formatting in a VS Code with a Node extension host, driven as a person does.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { type Host, launchNodeHost } from './host.ts';
import {
  answerTrust,
  colourOf,
  hover,
  hoverOver,
  lightBulb,
  openFile,
  pickerRows,
  picture,
  revert,
  runCommand,
  save,
  select,
  squiggles,
  startLastLine,
  statusItem,
  visibleText,
} from './page.ts';

const carriedOver = 'heron-228/carried-over.start.gcode';
const heronStart = 'heron-228/heron-228.start.gcode';

let host: Host;
let page: Page;
beforeAll(async () => {
  host = await launchNodeHost();
  page = host.page;
  await answerTrust(page, 'trust');
});
afterEach(({ task }) => picture(page, `editing-end-of-${task.name.replaceAll(/\W+/g, '-')}`));
afterAll(() => host?.close());

test('words have the colour of what they are about, placeholders one of their own', async () => {
  await openFile(page, carriedOver);
  await squiggles(page).first().waitFor();
  const colours = async () => [
    await colourOf(page, 'G1 X281 Y12', 'X281'),
    await colourOf(page, 'G1 X281 Y12', 'F7800'),
    await colourOf(page, 'M104 S291', 'S291'),
    await colourOf(page, 'G1 X148 E11.2', 'E11.2'),
    await colourOf(page, 'M109 S{{', 'heat.nozzle.first'),
    await colourOf(page, 'M109 S{{', 'M109'),
  ];
  // Without the server's tokens all words would look alike.
  await expect.poll(async () => new Set(await colours()).size).toBe(6);
  expect(await colourOf(page, 'G1 X148 E11.2', 'X148')).toBe(await colourOf(page, 'G1 X281 Y12', 'X281'));
  expect(await colourOf(page, 'M190 S{{', 'heat.bed.first')).toBe(
    await colourOf(page, 'M109 S{{', 'heat.nozzle.first'),
  );
  await picture(page, 'editing-colours');
});

test('how a rule counts is chosen from the light bulb and written into the settings of the folder', async () => {
  await openFile(page, carriedOver);
  await squiggles(page).first().waitFor();
  await select(page, 'M104 S291', 'S291');
  await lightBulb(page, 'Set how too-hot counts in this folder…');
  await pickerRows(page).filter({ hasText: 'hint' }).waitFor();
  await picture(page, 'editing-severity');
  await pickerRows(page).filter({ hasText: 'hint' }).click();
  const settings = () => JSON.parse(readFileSync(join(host.folder, '.vscode', 'settings.json'), 'utf8'));
  await expect.poll(settings).toEqual({ 'bookend.rules': { 'too-hot': 'hint' } });
  await squiggles(page, 'hint').first().waitFor();
});

test('the rule’s name in a hover opens its page', async () => {
  await openFile(page, carriedOver);
  await hoverOver(page, 'G1 X281 Y12', 'X281', /47 mm past/);
  await hover(page).locator('a', { hasText: 'beyond-reach' }).click();
  await page.locator('.tab.active[data-resource-name="beyond-reach.md"]').waitFor();
  await expect.poll(() => visibleText(page)).toContain('# beyond-reach');
  await picture(page, 'editing-page-of-a-rule');
});

test('the light bulb offers a fix and makes it', async () => {
  await openFile(page, carriedOver);
  await select(page, 'G1 Z0,28', 'Z0,28');
  await lightBulb(page, 'Write 0.28');
  await expect.poll(() => visibleText(page)).toContain('G1 Z0.28 F540');
  await picture(page, 'editing-fixed');
  await revert(page);
});

test('a rule is ignored on one line by the light bulb', async () => {
  await openFile(page, carriedOver);
  await select(page, 'G1 X281 Y12', 'X281');
  await lightBulb(page, 'Ignore beyond-reach on this line');
  await expect.poll(() => visibleText(page)).toContain('; bookend-ignore-next-line beyond-reach\nG1 X281 Y12');
  // The dots of a hint stand under its first two characters only, and the editor answers there.
  await hoverOver(page, '; bookend-ignore-next-line', 'be', /Say why beyond-reach/);
  await picture(page, 'editing-ignored');
  await revert(page);
});

test('all that may be fixed unseen is fixed by one command', async () => {
  await openFile(page, carriedOver);
  await squiggles(page).first().waitFor();
  await runCommand(page, 'Fix All');
  // The way back to absolute moves, which the hand-over needs, below the last line.
  await expect.poll(() => visibleText(page)).toMatch(/G1 Z6 F540\nG90\n/);
  await picture(page, 'editing-fixed-all');
  await revert(page);
});

test('all places of a rule are fixed at once from the light bulb', async () => {
  await openFile(page, 'heron-228/heron-228.end.gcode');
  await startLastLine(page);
  await page.keyboard.type('M109 S0\nM190 S0');
  await squiggles(page, 'info').first().waitFor();
  await select(page, 'M109 S0', 'M109');
  await lightBulb(page, 'Fix all of wait-without-target');
  await expect.poll(() => visibleText(page)).toMatch(/\nM104 S0\nM140 S0$/);
  await picture(page, 'editing-fixed-rule');
  await revert(page);
});

test('a selection grows from the number to its word, its command and its line', async () => {
  await openFile(page, carriedOver);
  await select(page, 'M104 S291', '91');
  for (const length of ['291', 'S291', 'M104 S291'].map((text) => text.length)) {
    await runCommand(page, 'Expand Selection');
    await statusItem(page, `(${length} selected)`).waitFor();
  }
  await picture(page, 'editing-selection');
});

test('while a command is typed, its words are explained one by one', async () => {
  await openFile(page, heronStart);
  await startLastLine(page);
  await page.keyboard.type('M109 S');
  await runCommand(page, 'Trigger Parameter Hints');
  const help = page.locator('.parameter-hints-widget.visible');
  await help.waitFor();
  await expect.poll(() => help.textContent()).toMatch(/M109 \[S\] \[R\] \[T\].*S \(M109\): temperat/);
  await picture(page, 'editing-signature');
  await page.keyboard.press('Escape');
  await revert(page);
});

test('a text is formatted as a whole', async () => {
  await openFile(page, heronStart);
  await startLastLine(page);
  await page.keyboard.type('g1   x010.50 f06000');
  await runCommand(page, 'Format Document');
  await expect.poll(() => visibleText(page)).toMatch(/\nG1 X10\.5 F6000$/);
  await picture(page, 'editing-formatted');
  await save(page);
  const written = readFileSync(join(host.folder, heronStart), 'utf8');
  expect(written).toMatch(/^G1 X209 Y7 F7800 {5,}; over the bed/m);
  expect(written.endsWith('\nG1 X10.5 F6000')).toBe(true);
});

test('the phases of a sequence fold', async () => {
  await openFile(page, heronStart);
  await page.keyboard.press('ControlOrMeta+Home');
  await expect.poll(() => visibleText(page)).toContain('M83');
  await runCommand(page, 'Fold All');
  await expect.poll(() => visibleText(page)).not.toContain('M83');
  const text = await visibleText(page);
  for (const headline of ['; First say how numbers', '; Find the axes', '; Hand over'])
    expect(text).toContain(headline);
  await picture(page, 'editing-folded');
  await runCommand(page, 'Unfold All');
});
