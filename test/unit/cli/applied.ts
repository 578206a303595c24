import { expect } from 'vitest';

/** Applies a unified diff by its own rows: every row in front, taken out or between must be there. */
export function applied(text: string, diff: string): string {
  const source = text.split(/(?<=\n)/);
  const out: string[] = [];
  let at = 0;
  const rows = diff.split(/(?<=\n)/);
  expect(rows[0]).toMatch(/^--- /);
  expect(rows[1]).toMatch(/^\+\+\+ /);
  for (let i = 2; i < rows.length; ) {
    const [, from = '', oldCount = '1', to = '', newCount = '1'] =
      /^@@ -(\d+)(?:,(\d+))? \+(\d+)(?:,(\d+))? @@\n$/.exec(rows[i] ?? '') ?? [];
    const start = oldCount === '0' ? Number(from) : Number(from) - 1;
    while (at < start) out.push(source[at++] as string);
    expect(out.length).toBe(newCount === '0' ? Number(to) : Number(to) - 1);
    let [old, now] = [0, 0];
    for (i++; old < Number(oldCount) || now < Number(newCount); i++) {
      const row = rows[i] ?? '';
      const open = rows[i + 1]?.startsWith('\\') ?? false;
      const body = open ? row.slice(1, -1) : row.slice(1);
      if (row[0] !== '+') expect(source[at++]).toBe(body);
      if (row[0] !== '-') out.push(body);
      old += row[0] === '+' ? 0 : 1;
      now += row[0] === '-' ? 0 : 1;
      if (open) i++;
    }
  }
  return [...out, ...source.slice(at)].join('');
}
