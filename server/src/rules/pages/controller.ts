import type { Subject } from './page.ts';

export const CONTROLLER: Subject = {
  title: 'The controller',
  pages: {
    'unstated-habit': {
      why: 'Controllers are divided on what some lines do: whether G91 makes E relative too, whether P of G4 counts milliseconds or seconds. Where the machine file does not say which way yours has it, Bookend takes neither for granted: it follows both, and asks once, where the answer matters. Answer by the light bulb, or write the fact into the machine file. “Where controllers differ” (docs/controllers.md) says how to find out on the machine; its manual comes first.',
      bad: { role: 'end', text: 'M83\nG91\nG1 Z5 F600\nG90\nG1 E-2 F1800\nM104 S0\nM140 S0\n' },
      otherwise: { controller: {} },
      good: { role: 'end', text: 'G91\nG1 Z5 F600\nG90\nM83\nG1 E-2 F1800\nM104 S0\nM140 S0\n' },
    },
  },
};
