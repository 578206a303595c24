// Makes docs/screenshot.png: the demo's carried-over sequence with its findings, one of them pointed at.

import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, test } from 'vitest';
import { type Host, launchNodeHost } from './host.ts';
import { answerTrust, hoverOver, openFile, problems, screenshot, squiggles, statusItem } from './page.ts';

let host: Host;
beforeAll(async () => {
  host = await launchNodeHost({ width: 1180, height: 830, scale: 1.5 });
});
afterAll(() => host?.close());

test('docs/screenshot.png', async () => {
  const { page } = host;
  await answerTrust(page, 'trust');
  await openFile(page, 'heron-228/carried-over.start.gcode');
  await squiggles(page).first().waitFor();
  await statusItem(page, 'Heron 228').waitFor();
  await problems(page);
  await hoverOver(page, 'G1 X281 Y12', 'X281', /47 mm past/);
  await screenshot(page, fileURLToPath(new URL('../../docs/screenshot.png', import.meta.url)));
});
