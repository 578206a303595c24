import { HABITS, type Habit } from '../machine/habits.ts';

/** The sections of the page “Where controllers differ”: one for each fact, with its answers and how to find out. */
export const controllersPage = (): readonly string[] => [
  'Controllers read some lines differently. Each fact below stands under `controller` in the [machine file](machine-file.md). Where it is left out, Bookend takes no way for granted: it follows all of them, and asks once in a sequence, at the place where the answer matters ([`unstated-habit`](rules/unstated-habit.md)). The light bulb writes your answer into the machine file. All of this is common practice without a source, but where one is named.',
  'The machine’s manual comes first. The tests below are for a machine that you know, with nothing on the bed, while you stand beside it with a hand near the mains switch. Hot parts burn, and moving ones pinch: where a test is not clear to you, leave it and ask whoever made or looks after the machine.',
  ['| what | key | the ways |', '|---|---|---|', ...HABITS.map(row)].join('\n'),
  ...HABITS.map(section),
];

const ways = ({ answers }: Habit): string => answers.map(({ value }) => `\`${JSON.stringify(value)}\``).join(', ');

const row = (habit: Habit): string =>
  `| [${habit.title}](#${anchor(habit)}) | \`controller.${habit.key}\` | ${ways(habit)} |`;

const anchor = ({ key }: Habit): string => key.toLowerCase();

const section = (habit: Habit): string =>
  [
    `## <a id="${anchor(habit)}"></a>${habit.title}`,
    `${habit.question} Written as \`controller.${habit.key}\`:`,
    habit.answers.map(({ value, means }) => `- \`${JSON.stringify(value)}\`: ${means}`).join('\n'),
    `**How to find out.** ${habit.find}`,
  ].join('\n\n');
