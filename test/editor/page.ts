// What a person does in the editor and sees there, in VS Code's own page. Nothing here sleeps: each step waits
// until the page shows what it is waiting for.

import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Locator, Page } from 'playwright-core';

const screenshots = fileURLToPath(new URL('../../test-output/screenshots/', import.meta.url));

/** Keeps a picture of the page in test-output/screenshots/. */
export async function picture(page: Page, name: string): Promise<void> {
  mkdirSync(screenshots, { recursive: true });
  await screenshot(page, join(screenshots, `${name}.png`));
}

/** Writes a picture of the page, with everything that is fading in or out at its end. */
export async function screenshot(page: Page, path: string): Promise<void> {
  await page.screenshot({ path, animations: 'disabled' });
}

/** Answers the question that a new folder opens with. */
export async function answerTrust(page: Page, answer: 'trust' | 'restricted'): Promise<void> {
  const dialog = page.locator('.monaco-dialog-box', { hasText: 'trust the authors' });
  await dialog.getByRole('button', { name: answer === 'trust' ? /^Yes/ : /^No/ }).click();
  await dialog.waitFor({ state: 'detached' });
}

/** Opens a file by its path in the folder, through the rows of the explorer, and waits for its text. */
export async function openFile(page: Page, path: string): Promise<void> {
  await (await explorerRow(page, path)).click();
  const name = path.slice(path.lastIndexOf('/') + 1);
  // A click on a row leaves the keyboard with the explorer; one on the tab gives it to the text.
  await page.locator(`.tab.active[data-resource-name="${name}"]`).click();
  await page.locator('.editor-instance .monaco-editor.focused .view-line').first().waitFor();
}

/** The row of a file in the explorer, with the folders above it opened. */
export async function explorerRow(page: Page, path: string): Promise<Locator> {
  const rows = page.locator('.explorer-folders-view .monaco-list-row');
  const names = path.split('/');
  const name = names.pop() ?? path;
  const rowOf = (text: string) => rows.filter({ has: page.getByText(text, { exact: true }) }).first();
  for (const folder of names) {
    const row = rowOf(folder);
    await row.waitFor();
    if ((await row.getAttribute('aria-expanded')) !== 'true') await row.click();
  }
  return rowOf(name);
}

/** Runs a command of the palette by its title. */
export async function runCommand(page: Page, title: string): Promise<void> {
  await page.keyboard.press('F1');
  const input = page.locator('.quick-input-widget input[type="text"]');
  await input.fill(`>${title}`);
  await page.locator('.quick-input-widget .monaco-list-row', { hasText: title }).first().click();
}

/** A line of the document beside the active editor in which its sequence is shown filled in. */
function filledInLine(page: Page, sequence: string, text: string): Locator {
  const tab = page.locator(`.tab[data-resource-name="filled in ${sequence}"]`);
  return page.locator('.editor-group-container', { has: tab }).locator('.view-line', { hasText: text });
}

/** Opens the menu of a file in the explorer, by its path in the folder, and chooses a row of it. */
export async function fromMenuOf(page: Page, path: string, title: string): Promise<void> {
  await (await explorerRow(page, path)).click({ button: 'right' });
  // Clicks just after a menu opened are taken for the end of the click that opened it.
  await page.getByRole('menuitem', { name: title }).hover();
  await page.keyboard.press('Enter');
}

/** Shows the start sequence of the Heron filled in beside it, and edits it: each row follows. Leaves it as it was. */
export async function followsFilledIn(page: Page, pictureName: string): Promise<void> {
  await openFile(page, 'heron-228/heron-228.start.gcode');
  // An earlier test may have left it at its end, from where the line that is edited below is not on screen.
  await page.keyboard.press('ControlOrMeta+Home');
  await runCommand(page, 'Bookend: Show This Sequence Filled In');
  // 215 °C is the vocabulary's usual nozzle temperature for the first layer, 210 for the later ones.
  await filledInLine(page, 'heron-228.start.gcode', 'M109 S215').waitFor();
  await select(page, 'M109 S{{', 'heat.nozzle.first');
  await page.keyboard.type('heat.nozzle.later');
  await filledInLine(page, 'heron-228.start.gcode', 'M109 S210').waitFor();
  await statusItem(page, 'Heron 228').waitFor();
  await picture(page, pictureName);
  await page.keyboard.press('ControlOrMeta+z');
  await filledInLine(page, 'heron-228.start.gcode', 'M109 S215').waitFor();
}

/** The rows of the list that is open at the top of the window. */
export function pickerRows(page: Page): Locator {
  return page.locator('.quick-input-widget:visible .monaco-list-row');
}

/** The squiggles on screen under errors, warnings or remarks, the dots under hints. */
export function squiggles(page: Page, severity: 'error' | 'warning' | 'info' | 'hint' = 'error'): Locator {
  return page.locator(`.editor-instance .squiggly-${severity}`);
}

/** The item of the status bar that shows this text. */
export function statusItem(page: Page, text: string | RegExp): Locator {
  return page.locator('.statusbar-item', { hasText: text });
}

/** The hover that is open in the editor. */
export function hover(page: Page): Locator {
  return page.locator('.monaco-hover:visible .monaco-hover-content').first();
}

/**
 * Points the mouse at a piece of text in a line on screen and waits for a hover that says `expected`. Points again
 * while it says something else: what is said may have changed after the hover opened.
 */
export async function hoverOver(page: Page, line: string, text: string, expected: string | RegExp): Promise<string> {
  const shown = hover(page).filter({ hasText: expected });
  await retry(6, async () => {
    const { left, right, y } = await place(page, line, text);
    const x = (left + right) / 2;
    // Off first, so that the editor sees the mouse arrive.
    await page.mouse.move(5, 5);
    await page.mouse.move(x - 1, y);
    await page.mouse.move(x, y);
    await shown.waitFor({ timeout: 5000 });
  });
  return (await shown.textContent()) ?? '';
}

/**
 * Selects with the mouse a piece of text in a line on screen: the one that follows `after`, if that is given. Tries
 * again while the status bar does not say that it is selected, since an editor that is still being laid out moves
 * under the mouse.
 */
export async function select(page: Page, line: string, text: string, after = ''): Promise<void> {
  await retry(5, async () => {
    const whole = await place(page, line, after + text);
    const left = after === '' ? whole.left : (await place(page, line, after)).right;
    await page.mouse.click(left, whole.y);
    await page.keyboard.down('Shift');
    await page.mouse.click(whole.right, whole.y);
    await page.keyboard.up('Shift');
    await statusItem(page, `(${text.length} selected)`).waitFor({ timeout: 2000 });
  });
}

/** Puts the cursor at the very end of the text and begins a new line there. */
export async function startLastLine(page: Page): Promise<void> {
  await page.locator('.editor-instance .view-lines').click();
  await page.keyboard.press('ControlOrMeta+End');
  await page.keyboard.press('Enter');
}

/**
 * Clicks the light bulb of the selection and chooses an action by its title, with the mouse. The bulb may still be that of
 * an earlier selection, and closing its list takes it away for good: then by the key that opens the list.
 */
export async function lightBulb(page: Page, title: string): Promise<void> {
  const row = page.locator('.action-widget .monaco-list-row').filter({ has: page.getByText(title, { exact: true }) });
  // It stands in the text where there is room, else beside the line's number.
  const bulb = page.locator('.lightBulbWidget:visible, .glyph-margin-widgets [class*="gutter-lightbulb"]').first();
  let stale = false;
  await retry(5, async () => {
    if (stale) await page.keyboard.press('ControlOrMeta+.');
    else await bulb.click({ timeout: 8000 });
    try {
      await row.waitFor({ timeout: 3000 });
    } catch (error) {
      await page.keyboard.press('Escape');
      stale = true;
      throw error;
    }
  });
  // The editor takes no click on its menu before it has seen the mouse move over it.
  const { x, y } = (await row.boundingBox()) ?? { x: 0, y: 0 };
  await page.mouse.move(x + 20, y + 5);
  await page.mouse.move(x + 30, y + 10);
  await row.click();
}

/** The colour in which a piece of text in a line on screen is painted, as the browser names it. */
export async function colourOf(page: Page, line: string, text: string): Promise<string> {
  const { left, y } = await place(page, line, text);
  return page.evaluate(`getComputedStyle(document.elementFromPoint(${left + 3}, ${y})).color`);
}

/** Takes back everything that was not saved in the active editor. */
export async function revert(page: Page): Promise<void> {
  await runCommand(page, 'File: Revert File');
  await page.locator('.tab.active:not(.dirty)').waitFor();
}

/** A row of the completion list, by its label. */
export function suggestion(page: Page, label: string): Locator {
  const rows = page.locator('.suggest-widget.visible .monaco-list-row');
  return rows.filter({ has: page.locator('.label-name').getByText(label, { exact: true }) });
}

/** The rows of the Problems panel, from top to bottom: message, source, rule, "[Ln 1, Col 1]". Opens the panel. */
export async function problems(page: Page): Promise<string[]> {
  await page.keyboard.press('ControlOrMeta+Shift+m');
  const rows = page.locator('.markers-panel .monaco-list-row .marker-message-line');
  await rows.first().waitFor();
  return (await rows.allTextContents()).map((text) => text.trim());
}

/** The text of the lines on screen, from top to bottom. */
export async function visibleText(page: Page): Promise<string> {
  return page.evaluate(`(() => [...document.querySelectorAll('.editor-instance .view-line')]
    .map((line) => ({ top: parseFloat(line.style.top), text: line.textContent.replaceAll('\\u00a0', ' ') }))
    .sort((a, b) => a.top - b.top).map(({ text }) => text).join('\\n'))()`);
}

/** Saves the file in the active editor and waits until its tab has no mark of unsaved text. */
export async function save(page: Page): Promise<void> {
  await page.keyboard.press('ControlOrMeta+s');
  await page.locator('.tab.active:not(.dirty)').waitFor();
}

/**
 * Where a piece of text is on screen. A line is found by a part of it; spaces are as in the source. Answers the
 * left and right edge and the middle height, in the page's pixels.
 */
async function place(page: Page, line: string, text: string): Promise<{ left: number; right: number; y: number }> {
  const row = page.locator('.editor-instance .view-line', { hasText: line }).filter({ hasText: text }).first();
  await row.waitFor();
  const found = await row.evaluate<{ left: number; right: number; y: number } | null, string>(
    // A script in a string: the tests are type-checked without the browser's types.
    new Function('row', 'text', measureText) as never,
    text,
  );
  if (!found) throw new Error(`The line "${line}" on screen does not hold "${text}".`);
  return found;
}

const measureText = `
  const at = row.textContent.replaceAll('\\u00a0', ' ').indexOf(text);
  if (at < 0) return null;
  const walker = document.createTreeWalker(row, NodeFilter.SHOW_TEXT);
  const range = document.createRange();
  let passed = 0;
  let started = false;
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const next = passed + node.length;
    if (!started && at < next) { range.setStart(node, at - passed); started = true; }
    if (started && at + text.length <= next) { range.setEnd(node, at + text.length - passed); break; }
    passed = next;
  }
  const { left, right, top, bottom } = range.getBoundingClientRect();
  return { left, right, y: (top + bottom) / 2 };`;

/** Does something until it succeeds, at most so often. The last failure is the one that counts. */
async function retry(times: number, action: () => Promise<void>): Promise<void> {
  for (let left = times; left > 1; left--) {
    try {
      return await action();
    } catch {
      // The page was not yet as it will be: once more.
    }
  }
  return action();
}
