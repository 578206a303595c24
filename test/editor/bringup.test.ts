import { afterEach, expect, test } from 'vitest';
import { type Host, launchNodeHost, launchWebHost } from './host.ts';
import * as p from './page.ts';

let host: Host;
afterEach(async () => {
  if (host) await p.picture(host.page, `last-${Date.now()}`);
  await host?.close();
});

for (const [name, launch] of [
  ['node', launchNodeHost],
  ['web', launchWebHost],
] as const)
  test(name, async () => {
    host = await launch();
    const { page } = host;
    if (name === 'web')
      page.on('console', (m) => {
        if (/bookend|memory/i.test(m.text())) console.log(m.text());
      });
    await p.answerTrust(page, 'trust').catch((e) => {
      if (name === 'node') throw e;
    });
    await p.openFile(page, 'heron.start.gcode');
    await p.squiggles(page).first().waitFor();
    await p.picture(page, `${name}-1`);
    console.log(await p.hoverOver(page, 'G1 X10', 'Y238', /past the back/));
    await p.picture(page, `${name}-2`);
    await p.clickLineEnd(page, 'M104');
    await page.keyboard.press('Enter');
    await page.keyboard.type('G2');
    const rows = await p.suggestions(page);
    await p.picture(page, `${name}-3`);
    await rows.first().click();
    console.log(await p.visibleText(page));
    await p.save(page);
    await p.statusItem(page, 'Heron 235').click();
    await p.pickerRows(page).filter({ hasText: 'Wren' }).click();
    await p.statusItem(page, 'Wren').waitFor();
    await p.picture(page, `${name}-4`);
    expect(1).toBe(1);
  });
