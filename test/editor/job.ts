// A job for the Heron, as a program and in a package, and what a person does with the package.

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import { utf8, zip } from '../program/packages.ts';
import { fromMenuOf, pickerRows, picture, visibleText } from './page.ts';

/** Leaves the bed (228 mm) in row 13, within reach (234 mm). */
export const washers = `; A tray of washers
G21
G90
M83
G28
M140 S57
M190 S57
M109 S208
G1 X34 Y27 Z0.24 F7200
G1 X93 Y27 E2.3 F1380
G1 X93 Y71 E1.7
G1 X192 Y71 F7200
G1 X231 Y71 E1.5 F1380
M104 S0
M140 S0
M84
`;

/** Puts the program and the package beside the Heron's machine file. */
export function writeWashers(folder: string): void {
  writeFileSync(join(folder, 'heron-228', 'washers.gcode'), washers);
  const parts = [
    { name: 'notes/readme.txt', bytes: utf8('Print with the door open.\n') },
    { name: 'batches/one', bytes: utf8(washers) },
  ];
  writeFileSync(join(folder, 'heron-228', 'washers.job'), zip(parts));
}

/** Opens the package from the explorer's menu, chooses its program, and has it checked and written to `target`. */
export async function takesOut(page: Page, target: string, pictureName: string): Promise<void> {
  await fromMenuOf(page, 'heron-228/washers.job', 'Check This Job…');
  await pickerRows(page).filter({ hasText: 'batches/one' }).waitFor();
  await picture(page, `${pictureName}-package`);
  await pickerRows(page).filter({ hasText: 'batches/one' }).click();
  await pickerRows(page).filter({ hasText: 'take it out' }).click();
  const name = page.locator('.quick-input-widget input[type="text"]');
  await expect.poll(() => name.inputValue()).toMatch(/heron-228\/one\.gcode$/);
  await name.fill(target);
  await picture(page, `${pictureName}-save`);
  await page.keyboard.press('Enter');
  await page.locator('.tab.active[data-resource-name="Report on one.txt"]').waitFor();
  await expect.poll(() => visibleText(page)).toContain('Written out as it was checked');
  expect(await visibleText(page)).toMatch(/error {2}off-bed: /);
  await page.locator('.notification-toast', { hasText: 'Taken out' }).waitFor();
  await picture(page, `${pictureName}-taken-out`);
}
