// The same packaged extension in the browser build of VS Code: no Node, demo/ in memory, the server in a worker.

import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { type Host, launchWebHost } from './host.ts';
import { takesOut, writeWashers } from './job.ts';
import {
  followsFilledIn,
  hoverOver,
  openFile,
  pickerRows,
  picture,
  save,
  select,
  squiggles,
  startLastLine,
  statusItem,
  suggestion,
  visibleText,
} from './page.ts';

const heronStart = 'heron-228/heron-228.start.gcode';

let host: Host;
let page: Page;
beforeAll(async () => {
  host = await launchWebHost(writeWashers);
  page = host.page;
});
afterEach(({ task }) => picture(page, `web-end-of-${task.name.replaceAll(/\W+/g, '-')}`));
afterAll(() => host?.close());

test('shows what is wrong with a sequence, and says it on hover', async () => {
  await openFile(page, 'heron-228/carried-over.start.gcode');
  await squiggles(page).first().waitFor();
  await statusItem(page, 'Heron 228').waitFor();
  await hoverOver(page, 'G1 X281 Y12', 'X281', /281.*47 mm.*234/);
  await picture(page, 'web-hover-finding');
});

test('explains a command on hover and completes one', async () => {
  await openFile(page, heronStart);
  await hoverOver(page, 'G28  ', 'G28', /hom/i);
  await picture(page, 'web-hover-command');
  await startLastLine(page);
  await page.keyboard.type('M10');
  await suggestion(page, 'M109').click();
  await expect.poll(async () => (await visibleText(page)).trimEnd().split('\n').at(-1)).toBe('M109');
  await page.keyboard.press('ControlOrMeta+z');
});

test('checks against another machine once it is chosen', async () => {
  await openFile(page, heronStart);
  await statusItem(page, 'Heron 228').click();
  await pickerRows(page).filter({ hasText: 'Lantern 174' }).click();
  await statusItem(page, 'Lantern 174').waitFor();
  await hoverOver(page, 'G1 X37 E14.4', 'X37', /bed.*Lantern 174/);
  await picture(page, 'web-other-machine');
  await statusItem(page, 'Lantern 174').click();
  await pickerRows(page).filter({ hasText: 'Automatic' }).click();
  await statusItem(page, 'Heron 228').waitFor();
});

test('checks again when the machine file is edited and saved', async () => {
  await openFile(page, 'heron-228/heron-228.machine.json');
  await select(page, '"bed": { "shape"', '0', '"left": ');
  await page.keyboard.type('50');
  await save(page);
  await openFile(page, heronStart);
  await squiggles(page).first().waitFor();
  await hoverOver(page, 'G1 X37 E14.4', 'X37', /13 mm.*50/);
  await picture(page, 'web-after-machine-edit');
});

test('shows a sequence filled in beside it, following each edit, and does not check what it shows', () =>
  followsFilledIn(page, 'web-filled-in'));

test('a package in a folder that is on no disk: an entry checked and taken out', async () => {
  await takesOut(page, '/demo/heron-228/taken-out.gcode', 'web-job');
  await openFile(page, 'heron-228/taken-out.gcode');
  await expect.poll(() => visibleText(page)).toContain('; A tray of washers');
});
