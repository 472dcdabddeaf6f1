/** The colours of one leg. */
export interface LegTones {
  readonly limb: string;
  readonly shoe: string;
  readonly sole: string;
}

/** All colours of the drawing, as the stylesheet has them: both themes. */
export interface SceneTones {
  readonly sky: string;
  /** The road beyond the marked foot, and below it. */
  readonly verge: string;
  readonly road: string;
  readonly edge: string;
  readonly mark: string;
  readonly post: string;
  readonly shorts: string;
  readonly near: LegTones;
  readonly far: LegTones;
  readonly behind: LegTones;
  readonly before: LegTones;
}

/** Reads the colours that a canvas inherits; anew when the theme changes. */
export function sceneTones(canvas: HTMLCanvasElement): SceneTones {
  // A token's own value may still name both themes' colours: only where it is used does the browser choose.
  const used = getComputedStyle(canvas);
  const before = canvas.style.color;
  const tone = (name: string): string => {
    canvas.style.color = `var(--scene-${name})`;
    return used.color;
  };
  const leg = (name: string): LegTones => ({
    limb: tone(`${name}-limb`),
    shoe: tone(`${name}-shoe`),
    sole: tone(`${name}-sole`),
  });
  const tones: SceneTones = {
    sky: tone('sky'),
    verge: tone('verge'),
    road: tone('road'),
    edge: tone('edge'),
    mark: tone('mark'),
    post: tone('post'),
    shorts: tone('shorts'),
    near: leg('near'),
    far: leg('far'),
    behind: leg('behind'),
    before: leg('before'),
  };
  canvas.style.color = before;
  return tones;
}
