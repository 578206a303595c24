// "Check this job…" from the explorer's menu in a VS Code with a Node extension host: a program, a package, a large one.

import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { type Host, launchNodeHost } from './host.ts';
import { takesOut, washers, writeWashers } from './job.ts';
import {
  answerTrust,
  explorerRow,
  fromMenuOf,
  hoverOver,
  openFile,
  pickerRows,
  picture,
  problems,
  revert,
  runCommand,
  squiggles,
  statusItem,
  visibleText,
} from './page.ts';

/** Some 20 MB: VS Code opens it, and the setting bookend.largestFile leaves it unchecked. */
const rows =
  'G1 X34.125 Y27.25 E0.0637\nG1 X93.375 Y27.25 E0.0637\nG1 X93.375 Y71.5 E0.0637\nG1 X34.125 Y71.5 E0.0637\n';
const large = washers.replace('M104 S0\n', `${rows.repeat(200_000)}M104 S0\n`);

let host: Host;
let page: Page;
beforeAll(async () => {
  host = await launchNodeHost(undefined, (folder) => {
    writeWashers(folder);
    writeFileSync(join(folder, 'heron-228', 'large.gcode'), large);
    writeFileSync(join(folder, 'stick.gcode'), washers);
  });
  page = host.page;
  await answerTrust(page, 'trust');
});
afterEach(({ task }) => picture(page, `jobs-end-of-${task.name.replaceAll(/\W+/g, '-')}`));
afterAll(() => host?.close());

test('a program: a report with its findings, each a link to its line', async () => {
  await fromMenuOf(page, 'heron-228/washers.gcode', 'Check This Job…');
  await page.locator('.tab.active[data-resource-name="Report on washers.gcode.txt"]').waitFor();
  await expect.poll(() => visibleText(page)).toContain('Checked as a whole program on Heron 228.');
  const text = await visibleText(page);
  expect(text).toMatch(/error {2}off-bed: /);
  expect(text).toMatch(/ {2}line 13, column \d+: X 231 is 3 mm past/);
  expect(text).toMatch(/Extrudes within +X 34 to 231, Y 27 to 71, Z 0\.24 to 0\.24 \(mm\)/);
  await picture(page, 'jobs-report');
  const listed = await problems(page);
  expect(listed.some((row) => /X 231 is 3 mm past.*off-bed.*\[Ln 13, /.test(row))).toBe(true);
  await picture(page, 'jobs-problems');
  await page.keyboard.press('ControlOrMeta+j');
  await page
    .locator('.detected-link', { hasText: 'line 13' })
    .first()
    .click({ modifiers: ['ControlOrMeta'] });
  await page.locator('.tab.active[data-resource-name="washers.gcode"]').waitFor();
  await statusItem(page, 'Ln 13,').waitFor();
});

test('a package: its list, an entry checked and taken out', async () => {
  await takesOut(page, join(host.folder, 'heron-228', 'taken-out.gcode'), 'jobs');
  expect(readdirSync(join(host.folder, 'heron-228')).filter((name) => name.endsWith('.tmp'))).toEqual([]);
  expect(readFileSync(join(host.folder, 'heron-228', 'taken-out.gcode'), 'utf8')).toBe(washers);
});

test('a program of 20 MB: typing in it stays quick, and its check runs beside', async () => {
  await explorerRow(page, 'heron-228/large.gcode').then((row) => row.click());
  // A browser shows texts of this size only on demand.
  await page.getByRole('button', { name: 'Open Anyway' }).click();
  await statusItem(page, 'Too large to check').waitFor();
  await page.locator('.editor-instance .view-line', { hasText: 'A tray of washers' }).click();
  await page.keyboard.press('End');
  await page.keyboard.type(', for a jig');
  await expect.poll(() => visibleText(page)).toContain('; A tray of washers, for a jig\n');
  await revert(page);
  await runCommand(page, 'Bookend: Check This Job…');
  await page.locator('.tab.active[data-resource-name="Report on large.gcode.txt"]').waitFor();
  await expect.poll(() => visibleText(page)).toMatch(/Size +800,016 lines, 20 MB/);
  await picture(page, 'jobs-large');
  await openFile(page, 'heron-228/carried-over.start.gcode');
  await squiggles(page).first().waitFor();
  await hoverOver(page, 'G1 X281 Y12', 'X281', /47 mm/);
});

test('a job in a folder of no machine: the person is asked which one will run it', async () => {
  await fromMenuOf(page, 'stick.gcode', 'Check This Job…');
  await pickerRows(page).filter({ hasText: 'Lantern 174' }).waitFor();
  await picture(page, 'jobs-machine');
  await pickerRows(page).filter({ hasText: 'Lantern 174' }).click();
  await page.locator('.tab.active[data-resource-name="Report on stick.gcode.txt"]').waitFor();
  await expect.poll(() => visibleText(page)).toContain('Checked as a whole program on Lantern 174. Picked here.');
});
