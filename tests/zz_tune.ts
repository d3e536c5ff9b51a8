import { truthCase, CLEAN, NOISY } from './support/truthCases.ts';
import { motionFromMarkers } from '../src/pipeline/motionFromMarkers.ts';
import { DEFAULT_POSITION_OPTIONS, findPositions } from '../src/stages/findPositions.ts';
import { createWorkspace } from '../src/numeric/workspace.ts';
import { clubAtImpact } from '../src/stages/clubAtImpact.ts';
import { DEFAULT_CLUB_OPTIONS } from '../src/stages/clubDelivery.ts';
import { TURN_PRIORS } from '../src/stages/club/faceFigures.ts';
import { SHAFT_PRIORS } from '../src/stages/club/shaftFigures.ts';
const N=Number(process.argv[2]??60), rate=Number(process.argv[3]??240), noise=process.argv[4]??'noisy';
const cond={...(noise==='clean'?CLEAN:NOISY),rate_Hz:rate};
const cases=[] as any[];
for(let s=1;s<=N;s++){const one=truthCase(s,cond);const ws=createWorkspace();const motion=motionFromMarkers(one.trial,one.plan,ws).value;const found=findPositions(motion,noise==='clean'?{...DEFAULT_POSITION_OPTIONS,stillnessFilter_Hz:null}:DEFAULT_POSITION_OPTIONS,ws).value;cases.push({one,motion,found,t:one.made.clubTruth()});}
const ws=createWorkspace();
const P=[[.5,.2,.1,.05],[.5,.2,.05,.02],[.35,.12,.07,.05],[.3,.1,.06,.04],[.26,.09,.05,.03],[.26,.09,.03,.01],[.2,.07,.04,.03],[.5,.09,.05,.03],[.7,.3,.15,.1],[1,.4,.2,.1]];
for(const p of P){(TURN_PRIORS as any).turn_rad=p; const out:string[]=[];
 for(const [fig,id,k] of [['face','club.face',180/Math.PI],['loft','club.loft',180/Math.PI],['face-rate','club.face_rate',180/Math.PI]] as const){let s2=0,b=0,c=0;for(const {one,motion,found,t} of cases){ws.reset();const f=(clubAtImpact(motion,found,one.plan.club,DEFAULT_CLUB_OPTIONS,ws).value as any)[fig];if(!f.ok)throw new Error(f.why.needed);const e=f.value.value-t[id];s2+=e*e;b+=e;if(Math.abs(e)<=1.96*f.value.sd)c++;}out.push(`${fig} ${(k*Math.sqrt(s2/N)).toFixed(3)} b ${(k*b/N).toFixed(3)} c ${(c/N).toFixed(3)}`);}
 console.log(p.join(','),out.join(' | '));}
(TURN_PRIORS as any).turn_rad=P[0];
for(const p of [[1,.5,.3,.2],[.7,.3,.2,.1],[.5,.27,.17,.09],[.5,.2,.1,.05],[2,1,.6,.4]]){(SHAFT_PRIORS as any).sds=p;const out:string[]=[];
 for(const [fig,id,k] of [['lie','club.lie',180/Math.PI],['shaft-lean','club.shaft_lean',180/Math.PI]] as const){let s2=0,b=0,c=0;for(const {one,motion,found,t} of cases){ws.reset();const f=(clubAtImpact(motion,found,one.plan.club,DEFAULT_CLUB_OPTIONS,ws).value as any)[fig];const e=f.value.value-t[id];s2+=e*e;b+=e;if(Math.abs(e)<=1.96*f.value.sd)c++;}out.push(`${fig} ${(k*Math.sqrt(s2/N)).toFixed(3)} b ${(k*b/N).toFixed(3)} c ${(c/N).toFixed(3)}`);}
 console.log('shaft',p.join(','),out.join(' | '));}
const t0=process.hrtime.bigint();for(let r=0;r<5;r++)for(const {one,motion,found} of cases){ws.reset();clubAtImpact(motion,found,one.plan.club,DEFAULT_CLUB_OPTIONS,ws);}console.log('ms per',Number(process.hrtime.bigint()-t0)/1e6/5/N);
