import { describeHostileTexts } from '../support/hostilePages.ts';
import { FEW_HOSTILE_TEXTS, HOSTILE_TEXTS } from '../support/hostileTexts.ts';

// the few: tests/unit/report/hostileText.test.ts
describeHostileTexts(Object.keys(HOSTILE_TEXTS).filter((name) => !FEW_HOSTILE_TEXTS.includes(name)));
