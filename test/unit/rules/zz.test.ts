import { it } from 'vitest';
import { readFileSync, readdirSync } from 'node:fs';
import { analyze } from '/work/main/server/src/service/analyze.ts';
import { fixtureMachine } from '/work/main/test/unit/rules/support.ts';
import { vocabularyFor } from '/work/main/server/src/machine/vocabulary.ts';
import { roleOfName } from '/work/main/server/src/syntax/role.ts';
const dir='/work/main/test/fixtures/rules/';
it('time', () => {
  const rows: [number,string,number][]=[];
  for (const name of readdirSync(dir)) {
    const mn = name.split('.').at(-3)!; const m = mn==='none'?null:fixtureMachine(mn);
    const v = vocabularyFor(m); const text = readFileSync(dir+name,'utf8');
    for (let i=0;i<15;i++) analyze(text, roleOfName(name), m, v);
    const t=performance.now(); for (let i=0;i<10;i++) analyze(text, roleOfName(name), m, v);
    rows.push([(performance.now()-t)/10, name, text.split('\n').length]);
  }
  rows.sort((a,b)=>b[0]-a[0]); console.log(rows.slice(0,12).map(r=>r[0].toFixed(2)+' '+r[1]).join('\n'));
  for (const mn of ['egret','lens','wedge']) {
  const m=fixtureMachine(mn); const v=vocabularyFor(m);
  for (const role of ['start','end'] as const) {
    let s='G21\nG90\nM83\nG28\nM190 S{{ heat.bed.first }}\nM109 S{{ heat.nozzle.first }}\nG1 Z{{ min(part.top + 10, reach.top) }} F600\n';
    for (let i=0;i<290;i++) s+= i%15===0? `G1 X{{ part.left + ${i%7} }} Y{{ part.front }} E0.1\n` : `G1 X${20+i%40} Y${20+i%50} E0.05\n`;
    for (let i=0;i<30;i++) analyze(s, role, m, v);
    const t=performance.now(); let n=0; for (let i=0;i<20;i++) n=analyze(s, role, m, v).findings.length;
    console.log(mn, role, ((performance.now()-t)/20).toFixed(2),'ms findings', n, 'open', analyze(s, role, m, v).open.length);
  }}
}, 60000);
