import type { Findings } from './findings.ts';
import { place } from './sentences/sentences-section.ts';
import { agreementPicture, coefficientsPicture } from './sections/agreement/pictures.ts';
import {
  correctedOthersPicture,
  correctedSharesPicture,
  correctedShiftPicture,
} from './sections/corrected/pictures.ts';
import { coverageQuartersPicture, standardisedPicture } from './sections/coverage/pictures.ts';
import { finishPicture, modelPicture, quartersPicture } from './sections/finish/pictures.ts';
import { flowPicture } from './sections/coverage/flow-picture.ts';
import { gaitPictures } from './sections/gait/pictures.ts';
import { tendencyPicture } from './sections/observers/pictures.ts';
import type { Picture } from './series-picture.ts';
import { coursePicture, rareClassesPicture, sharesPicture } from './sections/shares/pictures.ts';
import { shiftPicture } from './sections/shift/pictures.ts';
import type { Supplement } from './supplement.ts';

/** The pictures of the findings by section, those that cannot be drawn left out. */
export interface FindingsPictures {
  readonly shares: readonly Picture[];
  readonly shift: readonly Picture[];
  readonly finish: readonly Picture[];
  readonly agreement: readonly Picture[];
  readonly coverage: readonly Picture[];
  readonly gait: readonly Picture[];
}

const there = (pictures: readonly (Picture | null)[]): Picture[] => pictures.filter((picture) => picture !== null);

/** @param focus the early and the late checkpoint, or the single one */
export const picturesOfShares = (findings: Findings, focus: readonly string[], level: number): Picture[] =>
  findings.shares.some((entry) => entry.classified > 0)
    ? there([
        correctedSharesPicture(findings, level, focus),
        sharesPicture(findings, level),
        correctedOthersPicture(findings, level, focus),
        rareClassesPicture(findings, level),
      ])
    : [];

export const picturesOfShift = (findings: Findings, level: number): Picture[] =>
  there([
    correctedShiftPicture(findings, level),
    shiftPicture(findings),
    findings.shift ? coursePicture(findings, level) : null,
  ]);

export const picturesOfFinish = (findings: Findings, supplement: Supplement, level: number): Picture[] =>
  there([
    finishPicture(findings, supplement.spreads),
    findings.finish ? quartersPicture(findings.finish, level) : null,
    findings.finish ? modelPicture(findings.finish, level) : null,
  ]);

export const picturesOfAgreement = (findings: Findings, supplement: Supplement, level: number): Picture[] =>
  there([
    agreementPicture(findings.agreement.pairs),
    tendencyPicture(supplement.tendencies),
    coefficientsPicture(findings.agreement.pairs, level),
  ]);

/** @param focus the early and the late checkpoint, or the single one */
export const picturesOfCoverage = (
  findings: Findings,
  supplement: Supplement,
  focus: readonly string[],
  level: number,
): Picture[] =>
  there([
    ...supplement.flows.map((flow, i) =>
      flowPicture(
        flow,
        place(findings, flow.checkpoint),
        supplement.flows.length > 1 ? (supplement.flows[1 - i]?.checkpoint ?? null) : null,
        i === 0 ? 'coverage-early' : 'coverage-late',
      ),
    ),
    coverageQuartersPicture(findings, focus),
    standardisedPicture(findings, level),
  ]);

/** @param focus the early and the late checkpoint, or the single one */
export function findingsPictures(
  findings: Findings,
  supplement: Supplement,
  focus: readonly string[],
  level: number,
): FindingsPictures {
  return {
    shares: picturesOfShares(findings, focus, level),
    shift: picturesOfShift(findings, level),
    finish: picturesOfFinish(findings, supplement, level),
    agreement: picturesOfAgreement(findings, supplement, level),
    coverage: picturesOfCoverage(findings, supplement, focus, level),
    gait: findings.gait ? gaitPictures(findings.gait, findings.gaitChange, level) : [],
  };
}

/** All of them in the order of the page. */
export function everyPicture(pictures: FindingsPictures): Picture[] {
  const { shares, shift, finish, agreement, coverage, gait } = pictures;
  return [...shares, ...shift, ...finish, ...agreement, ...coverage, ...gait];
}
