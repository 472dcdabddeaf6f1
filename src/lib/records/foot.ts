/** The three classes of foot strike, in the order used everywhere: from the heel forward. */
export const FOOT_CLASSES = ['rearfoot', 'midfoot', 'forefoot'] as const;
export type FootClass = (typeof FOOT_CLASSES)[number];

/** What an observer can say of one foot. */
export const FOOT_VALUES = [...FOOT_CLASSES, 'unseen'] as const;
export type Foot = (typeof FOOT_VALUES)[number];

/** The classes a runner can be given at a checkpoint, in the order used everywhere. */
export const RUNNER_CLASSES = [...FOOT_CLASSES, 'asymmetric'] as const;
export type RunnerClass = (typeof RUNNER_CLASSES)[number];

/** Whether the runner was running or walking when seen. A walker's feet are both `unseen`. */
export const GAITS = ['run', 'walk'] as const;
export type Gait = (typeof GAITS)[number];

/** Seen with the naked eye as the runner passed, or in slow-motion review. */
export const METHODS = ['live', 'clip'] as const;
export type Method = (typeof METHODS)[number];
