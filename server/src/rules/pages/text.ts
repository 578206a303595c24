import type { Subject } from './page.ts';

export const TEXT: Subject = {
  title: 'Text and numbers',
  pages: {
    'bad-number': {
      why: 'A controller takes digits, one decimal point and a sign (NISTIR 6556 3.3.2.1). It knows no exponent, no decimal comma and none of the look-alike characters that come along when text is pasted from a web page. It reads the part that it understands and goes on, so that the wrong number runs without a word. Type the number anew.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X12,5 F2880\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X12.5 F2880\n' },
    },
    'unknown-command': {
      why: 'A controller that does not know a command ignores it or stops, and what the command was to do does not happen. Check the spelling. If it is a command of the machine’s own, declare it under `commands` in the machine file, with what it does, so that the checks can follow it.',
      bad: { role: 'start', text: 'G28\nM1049 S200\n' },
      good: { role: 'start', text: 'G28\nM104 S200\n' },
    },
    'unknown-word': {
      why: 'A word that a command does not know is passed over, and so is what it was to say. Often it is a slip of the hand (`M220 P90` for `M220 S90`), or the word belongs to a command on another line. G28, T and the commands that heat take further words on many controllers, so of theirs nothing is said, unless `controller.furtherWords` in the machine file says that such words are refused.',
      bad: { role: 'start', text: 'G28\nM220 P90\n' },
      good: { role: 'start', text: 'G28\nM220 S90\n' },
    },
    'missing-word': {
      why: 'Without the word the controller refuses the command, does nothing, or takes a value of its own. Write the word with its value.',
      bad: { role: 'start', text: 'G28\nM104\n' },
      good: { role: 'start', text: 'G28\nM104 S200\n' },
    },
    'duplicate-word': {
      why: 'A line may have one word of a letter (NISTIR 6556 3.3.5). With two, some controllers take the first, some the last, and some refuse the line. Remove one.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X14 X32 F2880\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X32 F2880\n' },
    },
    'two-commands': {
      why: 'Many printer controllers read one command a line and take the rest of the line for its words or drop it. RS-274 allows several, but never two of one modal group (NISTIR 6556 3.3.5 and Table 4), such as G90 with G91. Put each command on a line of its own.',
      bad: { role: 'start', text: 'G21 G90\nG28\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\n' },
    },
    'stray-text': {
      why: 'What a controller cannot read it skips, or it refuses the line. Comments begin with a semicolon and go to the end of the line, or stand in round brackets, which do not nest (NISTIR 6556 3.3.4).',
      bad: { role: 'start', text: 'G28 # all axes\n' },
      good: { role: 'start', text: 'G28 ; all axes\n' },
    },
    'long-line': {
      why: 'A controller keeps a line in a small store; what does not fit is cut off or read as a line of its own. RS-274 has 256 characters (NISTIR 6556 3.3), many controllers less: `controller.longestLine` in the machine file says it. Shorten the comment or split the line.',
      bad: { role: 'start', text: `G28 ; ${'all axes, '.repeat(30)}\n` },
      good: { role: 'start', text: 'G28 ; all axes\n' },
    },
    'lower-case': {
      why: 'In RS-274 case does not count outside comments (NISTIR 6556 3.3), but some controllers know capitals only: they pass over g1 or x10, or refuse the line. `controller.upperCase` in the machine file says so. Capitals are read everywhere in G-code, so they are the better habit anyway. For the names and words of named commands `controller.namedCommands.case` says which case is read.',
      bad: { role: 'start', text: 'G21\nG90\ng28\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
    },
    'non-ascii': {
      why: 'G-code is ASCII: 128 characters, without accents and umlauts. A controller reads anything else as two or more odd bytes, so that a file or a setting of that name is not found. In comments it does no harm, and in messages the display may show something odd. Keep names of files, tools and settings to plain letters, digits, - and _.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\nM23 größe.gcode\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\nM23 groesse.gcode\n' },
    },
    'stray-percent': {
      why: 'A line that holds only a % marks where a file begins and where it ends; controllers that know the mark skip what stands before the first and stop reading at the second. In the midst of a job it cuts the rest off, others refuse it. A sequence is put into a job, so that a % can only stand at the very top of a start sequence or at the very bottom of an end sequence, and nothing is lost without it.',
      bad: { role: 'start', text: 'G21\nG90\n%\nG28\nM109 S210\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
    },
    'numbered-text': {
      why: 'Where lines are sent with a number and a checksum (N3 T0*57), the controller reckons the checksum again, the exclusive or of all bytes in front of the *, and asks for the line anew where it differs or the number is not the next one. A file gives the same line again each time, so that the job may hang there, hot. A placeholder changes the line with every job, so that no checksum can fit it. The program that sends the job numbers it by itself; it is best to leave both out.',
      bad: { role: 'program', text: 'N1 G28*18\nN2 G90*19\nN3 T0*57\n' },
      good: { role: 'program', text: 'N1 G28*18\nN2 G90*18\nN3 T0*57\n' },
    },
    'after-end': {
      why: 'M2 and M30 end the program: what stands behind them never runs (NISTIR 6556 3.6.1), so that a heater to be switched off there stays on. In a start, layer, swap or pause sequence it is the rest of the job that never runs. Other controllers pass over M2, or take M30 as an order to delete a file. Put M2 last, or leave it out: the last line of a job ends it as well.',
      bad: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F540\nM104 S0\nM140 S0\nM2\nM84\n' },
      good: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F540\nM104 S0\nM140 S0\nM84\nM2\n' },
    },
    'comment-differs': {
      why: 'The machine reads the command, people read the comment. When a temperature is changed and the comment beside it is not, the next reader trusts the wrong one, and “corrects” the heat to what the filament cannot bear. Change both, or leave numbers out of comments.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nM109 S210 ; heat to 200 C\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210 ; heat to 210 C\n' },
    },
    'unused-ignore': {
      why: 'A comment such as ; bookend-ignore off-bed: the brush stands there switches a rule off on its line (bookend-ignore-next-line: on the next; bookend-ignore-file: in the whole text). When the reason is gone and the comment stays, it hides the next mistake at that place. Take it out, or put the rule’s id right. Give the reason with it: the next reader must judge whether it still holds.',
      bad: { role: 'start', text: 'G21\nG90\nG28\nG1 X18 F6600 ; bookend-ignore off-bed: the brush stands there\n' },
      good: { role: 'start', text: 'G21\nG90\nG28\nG1 X18 F6600\n' },
    },
  },
};
