import type { Subject } from './page.ts';

export const PLACEHOLDERS: Subject = {
  title: 'Placeholders',
  pages: {
    'unclosed-placeholder': {
      why: 'The program that fills the sequence in looks for the closing delimiter. Where it is missing it swallows what follows, or leaves the braces in the text for the machine to stumble over. Close the tag, and close every section that is opened, the inner one first.',
      bad: { role: 'start', text: 'G28\nM104 S{{ heat.nozzle.first\nM109 S{{ heat.nozzle.first }}\n' },
      good: { role: 'start', text: 'G28\nM104 S{{ heat.nozzle.first }}\nM109 S{{ heat.nozzle.first }}\n' },
    },
    'bad-expression': {
      why: 'A tag holds a placeholder name or an expression over names: numbers, + - * / %, comparisons, && || !, ?: and the functions min, max, abs, round, floor, ceil (a subset of ECMA-262 expressions). Anything else could not be filled in.',
      bad: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first + }}\n' },
      good: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first + 5 }}\n' },
    },
    'unknown-language': {
      why: 'The text has placeholders that its vocabulary does not describe, so Bookend takes their values as unknown and their sections as ones that may be left out. Everything else is still checked. Draft a vocabulary from the text, choose the vocabulary that describes it, or write the names as this machine’s vocabulary has them.',
      bad: { role: 'start', text: 'G28\nM109 S«warmth.tip»\n' },
      good: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first }}\n' },
    },
    'unknown-placeholder': {
      why: 'A name that nothing gives a value to is filled in as nothing: `M109 S{{ heat.nozle.first }}` becomes `M109 S`, and the machine waits for no temperature at all. Use a name of the vocabulary; completion inside the tag lists them.',
      bad: { role: 'start', text: 'G28\nM109 S{{ heat.nozle.first }}\n' },
      good: { role: 'start', text: 'G28\nM109 S{{ heat.nozzle.first }}\n' },
    },
    'no-value-here': {
      why: 'Some names mean something only while a layer is printed, or only while a tool is changed: a start sequence runs before the first layer, so `layer.number` has no value in it and `M117 Layer {{ layer.number }}` becomes `M117 Layer`. Use a name that every job has by then, or move the line to a sequence that runs later.',
      bad: { role: 'start', text: 'G28\nM117 Layer {{ layer.number }}\n' },
      good: { role: 'layer', text: 'M117 Layer {{ layer.number }}\n' },
    },
    'unit-mismatch': {
      why: 'A machine reads numbers only, and takes any number for what the word means: a bed temperature behind X moves the nozzle to 60 mm. So a temperature is not added to a length, a text is not counted with, and a word gets a value of its own kind. Numbers that are written out fit anywhere.',
      bad: { role: 'start', text: 'G28\nG1 X{{ heat.bed.first }} F5400\n' },
      good: { role: 'start', text: 'G28\nG1 X{{ bed.left + 64 }} F5400\n' },
    },
    'divides-by-zero': {
      why: 'A number divided by zero is no number: nothing that a machine can read would be filled in, and what the machine does with `E Infinity` or with a bare `E` is its own affair. Keep the divisor away from zero, max(heat.bed.first, 1), or put the line into a section that is left out where it is zero.',
      bad: { role: 'start', text: 'G28\nG4 S{{ 3000 / heat.bed.first }}\n' },
      good: { role: 'start', text: 'G28\n{{# heat.bed.first > 0 }}\nG4 S{{ 3000 / heat.bed.first }}\n{{/}}\n' },
    },
    'always-same': {
      why: 'A condition that no job changes decides nothing: what stands behind it is always there, or never. Often the number in it is not the one that was meant (`part.top > 0` where `part.top > 100` was), or < and > were mixed up. Put it right, or remove the condition.',
      bad: { role: 'end', text: 'G28\n{{# part.top > 0 }}\nM84\n{{/}}\n' },
      good: { role: 'end', text: 'G28\n{{# part.top > 100 }}\nM84\n{{/}}\n' },
    },
  },
};
