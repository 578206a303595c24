// "Check this job…" from the explorer's menu in a VS Code with a Node extension host: a program, a package, a large one.

import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { utf8, zip } from '../program/packages.ts';
import { type Host, launchNodeHost } from './host.ts';
import {
  answerTrust,
  fromMenuOf,
  hoverOver,
  openFile,
  pickerRows,
  picture,
  problems,
  squiggles,
  statusItem,
  visibleText,
} from './page.ts';

/** A job for the Heron (bed 235 mm, reach 242 mm) that leaves the bed in row 13. */
const program = `; A plate of washers
G21
G90
M83
G28
M140 S60
M190 S60
M109 S215
G1 X20 Y20 Z0.2 F6000
G1 X80 Y20 E2 F1200
G1 X80 Y60 E2
G1 X200 Y60 F6000
G1 X239 Y60 E2 F1200
M104 S0
M140 S0
M84
`;
/** Some 20 MB: VS Code opens it, and the setting bookend.largestFile leaves it unchecked. */
const rows =
  'G1 X20.125 Y20.25 E0.0512\nG1 X81.375 Y20.25 E0.0512\nG1 X81.375 Y60.5 E0.0512\nG1 X20.125 Y60.5 E0.0512\n';
const large = program.replace('M104 S0\n', `${rows.repeat(200_000)}M104 S0\n`);

let host: Host;
let page: Page;
beforeAll(async () => {
  host = await launchNodeHost();
  page = host.page;
  const at = (name: string) => join(host.folder, 'heron-235', name);
  writeFileSync(at('washers.gcode'), program);
  writeFileSync(at('large.gcode'), large);
  const parts = [
    { name: 'notes/readme.txt', bytes: utf8('Print with the door open.\n') },
    { name: 'plates/one', bytes: utf8(program) },
  ];
  writeFileSync(at('washers.job'), zip(parts));
  await answerTrust(page, 'trust');
});
afterEach(({ task }) => picture(page, `jobs-end-of-${task.name.replaceAll(/\W+/g, '-')}`));
afterAll(() => host?.close());

test('a program: a report with its findings, each a link to its line', async () => {
  await fromMenuOf(page, 'heron-235/washers.gcode', 'Check This Job…');
  await page.locator('.tab.active[data-resource-name="Report on washers.gcode.txt"]').waitFor();
  await expect.poll(() => visibleText(page)).toContain('Checked as a whole program on Heron 235.');
  const text = await visibleText(page);
  expect(text).toMatch(/error {2}off-bed: /);
  expect(text).toMatch(/ {2}line 13, column \d+: X 239 is 4 mm past/);
  expect(text).toMatch(/Extrudes within +X 20 to 239, Y 20 to 60, Z 0\.2 to 0\.2 \(mm\)/);
  await picture(page, 'jobs-report');
  const listed = await problems(page);
  expect(listed.some((row) => /X 239 is 4 mm past.*off-bed.*\[Ln 13, /.test(row))).toBe(true);
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
  await fromMenuOf(page, 'heron-235/washers.job', 'Check This Job…');
  await pickerRows(page).filter({ hasText: 'plates/one' }).waitFor();
  await picture(page, 'jobs-package');
  await pickerRows(page).filter({ hasText: 'plates/one' }).click();
  await pickerRows(page).filter({ hasText: 'take it out' }).click();
  const name = page.locator('.quick-input-widget input[type="text"]');
  await expect.poll(() => name.inputValue()).toMatch(/heron-235\/one$/);
  await name.fill(join(host.folder, 'heron-235', 'taken-out.gcode'));
  await picture(page, 'jobs-save');
  await page.keyboard.press('Enter');
  await page.locator('.tab.active[data-resource-name="Report on one.txt"]').waitFor();
  await expect.poll(() => visibleText(page)).toContain('Written out as it was checked');
  await page.locator('.notification-toast', { hasText: 'Taken out' }).waitFor();
  await picture(page, 'jobs-taken-out');
  expect(readFileSync(join(host.folder, 'heron-235', 'taken-out.gcode'), 'utf8')).toBe(program);
});

test('a program of 20 MB: typing in it stays quick, and its check runs beside', async () => {
  await openFile(page, 'heron-235/large.gcode');
  await statusItem(page, 'Too large to check').waitFor();
  await fromMenuOf(page, 'heron-235/large.gcode', 'Check This Job…');
  await page.locator('.tab.active[data-resource-name="Report on large.gcode.txt"]').waitFor();
  await expect.poll(() => visibleText(page)).toMatch(/Size +800,016 lines, 21 MB/);
  await picture(page, 'jobs-large');
  await openFile(page, 'heron-235/carried-over.start.gcode');
  await squiggles(page).first().waitFor();
  await hoverOver(page, 'G1 X290 Y20', 'X290', /48 mm/);
  expect(existsSync(join(host.folder, 'heron-235', 'large.gcode.part'))).toBe(false);
});
