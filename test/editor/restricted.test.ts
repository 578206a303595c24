// A folder that the person does not trust: Bookend runs nothing from it, so all its checks work there too.

import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Host, launchNodeHost } from './host.ts';
import { answerTrust, hoverOver, openFile, picture, squiggles, statusItem } from './page.ts';

let host: Host;
beforeAll(async () => {
  host = await launchNodeHost();
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
