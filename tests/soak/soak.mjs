// `npm run soak [name …]`: runs every long test beside this file, or those named; a failed one ends with exit code 1.
import { runFigures } from '../helpers/run-figures.mjs';

await runFigures(new URL('.', import.meta.url), '.soak.mjs');
