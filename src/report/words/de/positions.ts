export const POSITIONS = {
  P1: { name: 'Ansprechposition', phrase: 'In der Ansprechposition (P1)' },
  P2: { name: 'Schaft waagrecht, Rückschwung', phrase: 'Mit waagrechtem Schaft im Rückschwung (P2)' },
  P3: { name: 'vorderer Arm waagrecht, Rückschwung', phrase: 'Mit waagrechtem vorderem Arm im Rückschwung (P3)' },
  P4: { name: 'höchster Punkt', phrase: 'Am höchsten Punkt (P4)' },
  'P4(arm)': { name: 'höchster Punkt des vorderen Arms', phrase: 'Am höchsten Punkt des vorderen Arms, P4(arm),' },
  P5: { name: 'vorderer Arm waagrecht, Abschwung', phrase: 'Mit waagrechtem vorderem Arm im Abschwung (P5)' },
  'P5.5': { name: 'halbwegs von P5 zu P6', phrase: 'Spät im Abschwung (P5.5)' },
  P6: { name: 'Schaft waagrecht, Abschwung', phrase: 'Mit waagrechtem Schaft im Abschwung (P6)' },
  P7: { name: 'Treffmoment', phrase: 'Im Treffmoment (P7)' },
  P8: { name: 'Schaft waagrecht, Durchschwung', phrase: 'Mit waagrechtem Schaft im Durchschwung (P8)' },
  P9: { name: 'hinterer Arm waagrecht, Durchschwung', phrase: 'Mit waagrechtem hinterem Arm im Durchschwung (P9)' },
  P10: { name: 'Finish', phrase: 'Im Finish (P10)' },
};
