import { truthCase, CLEAN, NOISY } from './support/truthCases.ts';
import { analyseTrial } from '../src/pipeline/analyseTrial.ts';
import { createWorkspace } from '../src/numeric/workspace.ts';
const N=Number(process.argv[2]??40), rate=Number(process.argv[3]??240), noise=process.argv[4]??'noisy', only=process.argv[5];
const cond={...(noise==='clean'?CLEAN:NOISY),rate_Hz:rate};
const E=new Map<string,{e:number[];z:number[];miss:number;flags:Map<string,number>}>();
const ws=createWorkspace();
for(let s=1;s<=N;s++){const one=truthCase(s,cond);ws.reset();const rec=analyseTrial(one.trial,one.plan,ws);
 const t={...one.made.truth.swing,...one.made.clubTruth()};
 for(const c of rec.cells){ if(!c.quantity.startsWith('club.'))continue; let r=E.get(c.quantity); if(!r)E.set(c.quantity,r={e:[],z:[],miss:0,flags:new Map()});
  if(c.value===null){r.miss++;r.flags.set(c.why!.needed,(r.flags.get(c.why!.needed)??0)+1);continue;} for(const f of c.flags)r.flags.set(f,(r.flags.get(f)??0)+1);
  const is=t[c.quantity]; if(is===undefined)continue; const k=c.unit==='m/s'?100/is:c.unit==='mm'?1000:180/Math.PI; r.e.push((c.value-is)*k); r.z.push((c.value-is)/(c.plusMinus!/1.96)); }}
for(const [q,r] of E){const n=r.e.length;const rms=Math.sqrt(r.e.reduce((a,x)=>a+x*x,0)/n),b=r.e.reduce((a,x)=>a+x,0)/n,w=Math.max(...r.e.map(Math.abs));const cov=r.z.filter(z=>Math.abs(z)<=1.96).length/n; console.log(q.padEnd(30),'rms',rms.toFixed(4),'bias',b.toFixed(4),'worst',w.toFixed(3),'cov',cov.toFixed(3),'miss',r.miss,[...r.flags].map(([a,b])=>a+':'+b).join(' '));}
