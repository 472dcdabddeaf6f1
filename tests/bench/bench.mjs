// `npm run bench [name …]`: runs every benchmark beside this file, or those named, and prints their figures as one JSON object.
import { runFigures } from '../helpers/run-figures.mjs';

await runFigures(new URL('.', import.meta.url), '.bench.mjs');
