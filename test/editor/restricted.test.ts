// A folder that the person does not trust: Bookend runs nothing from it, so all its checks work there too.

import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Host, launchNodeHost } from './host.ts';
import { answerTrust, hoverOver, openFile, picture, squiggles, statusItem } from './page.ts';

let host: Host;
beforeAll(async () => {
  host = await launchNodeHost(undefined, (folder) => {
    // Beside the folder that is opened, and named by a file in it.
    writeFileSync(join(folder, '../far.placeholders.json'), '{ "names": {} }');
    mkdirSync(join(folder, 'sent'));
    const bed = { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 };
    const machine = { name: 'Wagtail 204', bed, placeholders: '../../far.placeholders.json' };
    writeFileSync(join(folder, 'sent/wagtail.machine.json'), JSON.stringify(machine));
    writeFileSync(join(folder, 'sent/outside.start.gcode'), 'G21 ; outside\nG90\nG28\n');
  });
});
afterAll(() => host?.close());

test('checks a sequence in Restricted Mode', async () => {
  const { page } = host;
  await answerTrust(page, 'restricted');
  await statusItem(page, 'Restricted Mode').waitFor();
  await openFile(page, 'heron-228/carried-over.start.gcode');
  await squiggles(page).first().waitFor();
  await statusItem(page, 'Heron 228').waitFor();
  const text = await hoverOver(page, 'M104 S291', 'S291', /23 °C above/);
  expect(text).toContain('268');
  await picture(page, 'restricted');
});

test('reads no file outside of it that a file in it names, and says so', async () => {
  const { page } = host;
  await openFile(page, 'sent/outside.start.gcode');
  await statusItem(page, 'Wagtail 204').waitFor();
  const text = await hoverOver(page, 'G21 ; outside', 'outside', /lies outside this workspace/);
  expect(text).toMatch(/far\.placeholders\.json, which the machine file names, cannot be read: .*which is not trusted/);
});
