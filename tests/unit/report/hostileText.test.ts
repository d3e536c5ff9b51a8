import { describeHostileTexts } from '../../support/hostilePages.ts';
import { FEW_HOSTILE_TEXTS } from '../../support/hostileTexts.ts';

// the others: tests/long/hostileText.test.ts
describeHostileTexts(FEW_HOSTILE_TEXTS);
