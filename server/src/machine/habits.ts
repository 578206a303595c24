import type { Traits } from './machine.ts';

/** A fact of a controller on which controllers are divided; its key under `controller` in the machine file. */
export type HabitKey =
  | 'distanceGovernsE'
  | 'dwell'
  | 'fanFull'
  | 'waitsForCooling'
  | 'waitsByR'
  | 'unknownCommand'
  | 'furtherWords'
  | 'meshAfterHoming'
  | 'g10';

/** One way in which controllers do it. */
export interface HabitAnswer {
  /** As it is written in the machine file. */
  readonly value: boolean | number | string;
  /** In a word or two: "yes", "milliseconds". */
  readonly short: string;
  /** What the controller does then, in a sentence. */
  readonly means: string;
}

/**
 * A fact on which controllers are divided. A machine file states which way holds; where it does not, none is assumed: both
 * ways are followed, and who writes the sequence is asked. All are common practice, no source.
 */
export interface Habit {
  readonly key: HabitKey;
  /** What it is about, for a heading. */
  readonly title: string;
  /** To be answered by one of the answers. */
  readonly question: string;
  readonly answers: readonly [HabitAnswer, HabitAnswer, ...HabitAnswer[]];
  /** How to find out on the machine without risk. Its manual comes first. */
  readonly find: string;
}

const answer = (value: HabitAnswer['value'], short: string, means: string): HabitAnswer => ({ value, short, means });

/** In the order in which they are explained. */
export const HABITS: readonly Habit[] = [
  {
    key: 'distanceGovernsE',
    title: 'G90, G91 and E',
    question: 'Do G90 and G91 set the mode of E too?',
    answers: [
      answer(true, 'yes', 'G91 makes E count steps and G90 places, until an M82 or M83 behind it says otherwise.'),
      answer(false, 'no', 'Only M82 and M83 set the mode of E; G90 and G91 leave it as it is.'),
    ],
    find: 'With the nozzle hot enough to extrude and free above the bed, send M82, G92 E0, G91, G1 E2 F100 and G1 E2 F100. If filament moves both times, G91 governs E; if it moves once only, it does not. The nozzle is hot: keep hands away.',
  },
  {
    key: 'dwell',
    title: 'Unit of P in G4',
    question: 'What does P of G4 count?',
    answers: [
      answer('ms', 'milliseconds', 'G4 P500 waits half a second.'),
      answer('s', 'seconds', 'G4 P500 waits more than eight minutes; RS-274 has it so (NISTIR 6556 3.5.4).'),
    ],
    find: 'With everything cold send G4 P10 and then G28 Z or a message: if it comes at once, P counts milliseconds; if it comes after ten seconds, seconds. Homing moves the machine: keep clear of it.',
  },
  {
    key: 'fanFull',
    title: 'Full speed of the fan',
    question: 'Which S of M106 means full speed?',
    answers: [
      answer(255, '255', 'S runs from 0 to 255: M106 S128 is half speed.'),
      answer(100, '100', 'S is a percentage: M106 S50 is half speed.'),
      answer(1, '1', 'S is a share: M106 S0.5 is half speed.'),
    ],
    find: 'With everything cold send M106 S1 and listen: full speed means 1. If the fan hardly turns or stands still, compare M106 S100 with M106 S255. Keep fingers out of the fan.',
  },
  {
    key: 'waitsForCooling',
    title: 'Waiting while it cools',
    question: 'Does S of M109 and M190 also wait until a heater that is hotter has cooled down?',
    answers: [
      answer(true, 'yes', 'The command waits until the temperature is reached from above or below.'),
      answer(false, 'no', 'A heater that is hotter than S is not waited for.'),
    ],
    find: 'Heat the nozzle to 100 degrees C, then send M109 S60 and a message behind it: if the message comes at once, it does not wait for cooling. Parts are hot: keep hands away.',
  },
  {
    key: 'waitsByR',
    title: 'R of M109 and M190',
    question: 'Does R of M109 and M190 set a temperature and wait for it both ways?',
    answers: [
      answer(true, 'yes', 'M109 R60 waits until 60 degrees C are reached from above or below.'),
      answer(false, 'no', 'R is not known: the target stays as it was.'),
    ],
    find: 'With the nozzle cold send M109 R40 and ask for the temperature with M105: if the target reads 40, R is known.',
  },
  {
    key: 'unknownCommand',
    title: 'A command that is not known',
    question: 'What does the controller do on a command that it does not know?',
    answers: [
      answer('ignored', 'passes over it', 'It goes on with the next line, with or without a message.'),
      answer('refused', 'stops', 'The job stops with an error.'),
    ],
    find: 'With everything cold run a file of two lines from the storage card: M9999, and a message. If the message comes, it passes over what it does not know.',
  },
  {
    key: 'furtherWords',
    title: 'Words that a command does not take',
    question:
      'What does the controller do on a word that is not one of the command’s own, such as a further letter of G28 or M104?',
    answers: [
      answer('ignored', 'passes over it', 'The command runs as if the word were not there.'),
      answer('refused', 'refuses it', 'The command is not run, or the job stops.'),
    ],
    find: 'With everything cold send M104 S0 Q1 and read what it answers.',
  },
  {
    key: 'meshAfterHoming',
    title: 'The measured bed after homing',
    question: 'Is the measure of the bed (G29) still used after homing again?',
    answers: [
      answer('kept', 'yes', 'The mesh stays in force.'),
      answer('forgotten', 'no', 'Homing switches it off, and it has to be measured or loaded again.'),
    ],
    find: 'Measure the bed, home, and ask for the state of levelling as the manual says.',
  },
  {
    key: 'g10',
    title: 'G10 and G11',
    question: 'What does G10 without L do?',
    answers: [
      answer(
        'retract',
        'pulls filament back',
        'G10 pulls back and G11 pushes forward again, as far as the controller’s settings say.',
      ),
      answer(
        'set',
        'sets offsets or heat',
        'G10 P S R sets the temperatures of a tool, or with X Y Z its offsets; filament is not moved.',
      ),
    ],
    find: 'The manual’s list of commands says it. With the nozzle hot and free above the bed, G10 that pulls back can be seen at the feeder. The nozzle is hot: keep hands away.',
  },
];

const BY_KEY = new Map(HABITS.map((habit) => [habit.key, habit]));

/** The habit of a key. */
export const habitOf = (key: HabitKey): Habit => BY_KEY.get(key) as Habit;

/** What the machine file says of a habit; null: nothing, or there is no machine. */
export const statedHabit = <K extends HabitKey>(traits: Traits | undefined, key: K): Traits[K] => traits?.[key] ?? null;
