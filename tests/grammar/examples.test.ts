/** Every example line of the reference reads into its tree, without a fault. */
import { expect, test } from 'vitest';
import { parse } from '../../grammar/index.ts';
import { faultTexts, statementText } from './summary.ts';

const examples: readonly (readonly [lines: string, tree: string])[] = [
  [
    'log "Tern 460 no. 0117: second rebuild"            # exactly one, first, in a .rebuild',
    'log; text Tern 460 no. 0117: second rebuild',
  ],
  [
    'limits "Tern 460, issue 3"                         # exactly one, first, in a .limits',
    'limits; text Tern 460, issue 3',
  ],
  [
    'bench "Harbour workshop"                           # exactly one, first, in a .bench',
    'bench; text Harbour workshop',
  ],
  [
    'use "tern-460.limits"                              # relative to this file; may pin: use "…" mark 4be19d2c77a0f513',
    'use; text tern-460.limits',
  ],
  ['machine tern-460 serial "0117" hours 312.4 h', 'machine; name tern-460; serial 0117; hours 312.4 h'],
  [
    'covers bottom-end top-end                          # the assemblies this log must account for',
    'covers; names bottom-end, top-end',
  ],
  ['person AQ "Ada Quill" builder', 'person; name AQ; text Ada Quill; role builder'],
  [
    'person JM "Jory Marsh" inspector licence "demo-4471"',
    'person; name JM; text Jory Marsh; role inspector; licence demo-4471',
  ],
  [
    'tool TW1 "3/8 click wrench" range 10..60 N·m accuracy 4 % length 310 mm calibrated 2026-03-02 due 2027-03-02',
    'tool; name TW1; text 3/8 click wrench; range 10 to 60 N·m; accuracy 4 %; length 310 mm; calibrated 2026-03-02; due 2027-03-02',
  ],
  [
    'tool BG1 "bore gauge" range 50..100 mm resolution 0.002 mm uncertainty 0.003 mm material steel calibrated 2026-01-15 due 2027-01-15',
    'tool; name BG1; text bore gauge; range 50 to 100 mm; resolution 0.002 mm; uncertainty 0.003 mm; material steel; calibrated 2026-01-15; due 2027-01-15',
  ],
  [
    'sealant grey-rtv "grey RTV" cure 12 h open 10 min torque cured   # closed within `open`, loaded only after `cure`',
    'sealant; name grey-rtv; text grey RTV; cure 12 h; open 10 min; torqued cured',
  ],
  [
    'sealant thread-blue "medium threadlocker" cure 6 h open 20 min torque wet  # torqued within `open`, run only after `cure`',
    'sealant; name thread-blue; text medium threadlocker; cure 6 h; open 20 min; torqued wet',
  ],
  [
    'source "Tern 460 shop sheet, issue 3"              # where the lines below come from',
    'source; text Tern 460 shop sheet, issue 3',
  ],
  [
    'assembly bottom-end "Bottom end"                   # groups what follows, up to the next assembly',
    'assembly; name bottom-end; text Bottom end',
  ],
  [
    'limit crank-runout 0..0.05 mm wear <= 0.08 mm ref "3.1"',
    'limit; target crank-runout; limit 0 to 0.05 mm; wear at-most 0.08 mm; ref 3.1',
  ],
  [
    'limit bore[front rear] @ (top middle bottom)/(thrust pin) 67.500..67.520 mm wear <= 67.560 mm of cylinder ref "3.2" material cast-iron',
    'limit; target bore[front rear] @ (top middle bottom)/(thrust pin); limit 67.500 to 67.520 mm; wear at-most 67.560 mm; of cylinder; ref 3.2; material cast-iron',
  ],
  [
    'limit piston-skirt[front rear] 67.425..67.440 mm of piston ref "3.2" material al-si',
    'limit; target piston-skirt[front rear]; limit 67.425 to 67.440 mm; of piston; ref 3.2; material al-si',
  ],
  [
    'limit bore-taper[front rear] = taper(bore) <= 0.03 mm ref "3.2"',
    'limit; target bore-taper[front rear]; expression (taper bore); limit at-most 0.03 mm; ref 3.2',
  ],
  [
    'limit bore-oval[front rear] = out-of-round(bore) <= 0.02 mm wear <= 0.05 mm ref "3.2"',
    'limit; target bore-oval[front rear]; expression (out-of-round bore); limit at-most 0.02 mm; wear at-most 0.05 mm; ref 3.2',
  ],
  [
    'limit piston-clearance[front rear] = bore - piston-skirt 0.060..0.120 mm wear <= 0.150 mm ref "3.3"',
    'limit; target piston-clearance[front rear]; expression (- bore piston-skirt); limit 0.060 to 0.120 mm; wear at-most 0.150 mm; ref 3.3',
  ],
  [
    'limit seal-bore 42 H8 mm ref "3.6"                 # an ISO 286 class stands for its limits',
    'limit; target seal-bore; limit 42 mm class H8; ref 3.6',
  ],
  [
    'limit bore[front rear] 67.750..67.770 mm of cylinder for cylinder os1 ref "3.2"      # first oversize: when `fit cylinder[…] grade os1`',
    'limit; target bore[front rear]; limit 67.750 to 67.770 mm; of cylinder; for cylinder grade os1; ref 3.2',
  ],
  [
    'limit leak-drop <= 0.05 bar when 0.5 bar, 3 min of case-joint before top-end ref "5.1"',
    'limit; target leak-drop; limit at-most 0.05 bar; when 0.5 bar, 3 min; of case-joint; before top-end; ref 5.1',
  ],
  [
    'limit main-jet[front rear] "165" "168" ref "6.2"',
    'limit; target main-jet[front rear]; limit 165, 168; ref 6.2',
  ],
  [
    `fastener case-m8[1..10] M8x1.25 class 8.8 torque 24 ± 2 N·m (212 in·lbf)
  ... stages 12 N·m, 24 N·m
  ... order 5 6 4 7 3 8 2 9 1 10 layout rows 2 lubricant oiled ref "4.1"`,
    'fastener; target case-m8[1..10]; thread M8x1.25; class 8.8; torque 24 ± 2 N·m (212 in·lbf); stages 12 N·m, 24 N·m; order 5 6 4 7 3 8 2 9 1 10; layout rows 2; lubricant oiled; ref 4.1',
  ],
  [
    'fastener hub-nut[1..6] M8 class 8.8 torque 22 ± 2 N·m drag 1.5..6 N·m lock cotter ref "4.6"   # prevailing torque; locked',
    'fastener; target hub-nut[1..6]; thread M8; class 8.8; torque 22 ± 2 N·m; drag 1.5 to 6 N·m; lock cotter; ref 4.6',
  ],
  [
    'fastener head-m8[1..6] M8 class 8.8 torque 22 ± 1 N·m order cross layout circle retorque 5 h ref "4.4"',
    'fastener; target head-m8[1..6]; thread M8; class 8.8; torque 22 ± 1 N·m; order cross; layout circle; retorque 5 h; ref 4.4',
  ],
  [
    'fastener rod-cap[1..4] M7x1 class 10.9 torque 15 ± 1 N·m angle 60 ± 5 ° once ref "4.2"',
    'fastener; target rod-cap[1..4]; thread M7x1; class 10.9; torque 15 ± 1 N·m; angle 60 ± 5 °; once; ref 4.2',
  ],
  ['part cylinder[front rear] "cylinder"', 'part; text cylinder; target cylinder[front rear]'],
  ['part piston[front rear] "piston"', 'part; text piston; target piston[front rear]'],
  [
    'part case-gasket "crankcase gasket" once           # never to be used again',
    'part; text crankcase gasket; target case-gasket; once',
  ],
  [
    'part crank-seal[front rear] "crank seal" once facing life 5 years   # facing: the way round must be recorded',
    'part; text crank seal; target crank-seal[front rear]; once; facing-recorded; life 5 years',
  ],
  [
    'part bung[1..4] "red bung" temporary               # what goes in must come out before release',
    'part; text red bung; target bung[1..4]; temporary',
  ],
  [
    'stack fuel-pump = pump-body, gasket-thin, diaphragm-clear, gasket-thick, pump-cover',
    'stack; name fuel-pump; members pump-body, gasket-thin, diaphragm-clear, gasket-thick, pump-cover',
  ],
  [
    'joint case-joint sealant grey-rtv fasteners case-m8 case-m6',
    'joint; name case-joint; sealant grey-rtv; fasteners case-m8, case-m6',
  ],
  [
    'inspection pins-flush "Alignment pins flush on both faces" needs inspector before case-joint ref "4.1"',
    'inspection; name pins-flush; text Alignment pins flush on both faces; needs inspector; before case-joint; ref 4.1',
  ],
  [
    'step "Measure" 2026-05-02 14:00 by AQ with BG1 temp 21 °C   # what follows belongs to it and inherits these',
    'step; text Measure; when 2026-05-02 14:00; by AQ; with BG1; temp 21 °C',
  ],
  [
    'measure bore[rear] @ top/thrust = 67.571 mm as found',
    'measure; target bore[rear] @ top/thrust; value 67.571 mm; as found',
  ],
  [
    'remove piston[rear] scrap because "scored, exhaust side"',
    'remove; target piston[rear]; scrap; because scored, exhaust side',
  ],
  [
    'fit cylinder[rear] reworked because "honed"       # its earlier readings become history',
    'fit; target cylinder[rear]; condition reworked; because honed',
  ],
  [
    `measure bore[rear] in mm
    |        | thrust | pin    |
    | top    | 67.532 | 67.528 |
    | middle | 67.541 | 67.533 |
    | bottom | 67.529 | 67.527 |`,
    'measure; target bore[rear]; in mm; |  | thrust | pin |; | top | 67.532 | 67.528 |; | middle | 67.541 | 67.533 |; | bottom | 67.529 | 67.527 |',
  ],
  ['measure crank-runout = 0.3 mm with DT1', 'measure; target crank-runout; value 0.3 mm; with DT1'],
  [
    'measure crank-runout = 0.03 mm with DT1 as corrected because "slipped a decimal place"',
    'measure; target crank-runout; value 0.03 mm; with DT1; as corrected; because slipped a decimal place',
  ],
  [
    'measure ring-gap[front/top] = 0.30..0.35 mm with FG1   # this blade goes, the next does not',
    'measure; target ring-gap[front/top]; value 0.30 to 0.35 mm; with FG1',
  ],
  ['measure main-jet[front] = "165"', 'measure; target main-jet[front]; value "165"'],
  [
    'step "Close the crankcase" 2026-05-03 17:40 by AQ',
    'step; text Close the crankcase; when 2026-05-03 17:40; by AQ',
  ],
  [
    'inspect pins-flush pass by JM                     # an inspection of the limits, or any words in quotes',
    'inspect; subject pins-flush; verdict pass; by JM',
  ],
  [
    'remove crank-seal[front rear] scrap because "lip hardened"',
    'remove; target crank-seal[front rear]; scrap; because lip hardened',
  ],
  ['apply grey-rtv to case-joint at 17:52', 'apply; name grey-rtv; to case-joint; at 17:52'],
  [
    'finger-tight case-m8[all] at 17:58                # must be torqued before release',
    'finger-tight; target case-m8[<all>]; at 17:58',
  ],
  [
    'photo "img/0031.jpg" "squeeze-out, exhaust side"',
    'photo; text img/0031.jpg; text2 squeeze-out, exhaust side',
  ],
  [
    'note Used the 3/8" drive adapter # all of this is text',
    'note; note Used the 3/8" drive adapter # all of this is text',
  ],
  [
    'step "Torque the case" 2026-05-04 09:15 by AQ with TW1',
    'step; text Torque the case; when 2026-05-04 09:15; by AQ; with TW1',
  ],
  [
    'torque case-m8[5 6 4 7 3 8 2 9 1 10] to 12 N·m    # the stage follows from the value',
    'torque; target case-m8[5 6 4 7 3 8 2 9 1 10]; to 12 N·m',
  ],
  [
    'torque case-m8[ordered] to 24 N·m                 # all, in the order the limits ask for',
    'torque; target case-m8[<ordered>]; to 24 N·m',
  ],
  [
    'loosen case-m8[3] because "sealant thread under the head"',
    'loosen; target case-m8[3]; because sealant thread under the head',
  ],
  ['torque case-m8[3] to 24 N·m', 'torque; target case-m8[3]; to 24 N·m'],
  [
    'apply stripe to case-m8[all]                      # the witness mark itself',
    'apply; name stripe; to case-m8[<all>]',
  ],
  [
    'torque hub-nut[all] to 22 N·m drag 2.2 N·m        # 22 at the fastener; the wrench read the sum',
    'torque; target hub-nut[<all>]; to 22 N·m; drag 2.2 N·m',
  ],
  ['apply cotter to hub-nut[all]', 'apply; name cotter; to hub-nut[<all>]'],
  [
    'torque rod-cap[1..4] to 15 N·m angle 60 ° lubricant oiled',
    'torque; target rod-cap[1..4]; to 15 N·m; angle 60 °; lubricant oiled',
  ],
  [
    'torque pump-screw[1..4] to 2.5 N·m with TW2 adapter 40 mm, 0 ° set 2.2 N·m',
    'torque; target pump-screw[1..4]; to 2.5 N·m; with TW2; adapter 40 mm at 0 °; set 2.2 N·m',
  ],
  [
    'fit crank-seal[front] new pn "TN-2217" batch "B40" facing "lip inward"',
    'fit; target crank-seal[front]; condition new; pn TN-2217; batch B40; facing lip inward',
  ],
  [
    'measure leak-drop = 0.02 bar when 0.5 bar, 3 min with PG1',
    'measure; target leak-drop; value 0.02 bar; when 0.5 bar, 3 min; with PG1',
  ],
  ['open R1 "Order a new reed stop"', 'open; name R1; text Order a new reed stop'],
  ['close R1 "fitted 12 May"', 'close; name R1; text fitted 12 May'],
  [
    'accept piston-clearance[rear] because "0.005 over new, inside wear" by JM until 350 h',
    'accept; target piston-clearance[rear]; because 0.005 over new, inside wear; by JM; until 350 h',
  ],
  [
    `run 30 min "idle warm-up"                         # adds to the machine's hours`,
    'run; text idle warm-up; quantity 30 min',
  ],
  [
    'sign AQ "Bottom end closed and torqued" 2026-05-04 11:00 mark 9f3c0d1e7a55b2c4',
    'sign; name AQ; text Bottom end closed and torqued; when 2026-05-04 11:00; mark 9f3c0d1e7a55b2c4',
  ],
  [
    'release JM "Returned to service" 2026-05-20 18:00 hours 312.9 h mark 61aa0c5e93bd7f24',
    'release; name JM; text Returned to service; when 2026-05-20 18:00; hours 312.9 h; mark 61aa0c5e93bd7f24',
  ],
];

test.each(examples)('%s', (lines, tree) => {
  const [block, ...others] = parse(lines).blocks;
  expect(others).toEqual([]);
  expect(faultTexts(block!)).toEqual([]);
  expect(statementText(block!.statement!)).toBe(tree);
  expect(block!.statement!.broken).toBe(false);
});

test('all of them in one text', () => {
  const file = parse(examples.map(([lines]) => lines).join('\n'));
  expect(file.blocks.map(({ statement }) => statementText(statement!))).toEqual(
    examples.map(([, tree]) => tree),
  );
  expect(file.blocks.flatMap(faultTexts)).toEqual([]);
});
