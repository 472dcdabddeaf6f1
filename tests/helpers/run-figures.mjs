import { readdirSync } from 'node:fs';
import process from 'node:process';
import { fileURLToPath } from 'node:url';

/**
 * Runs the default export of each file in `folder` that ends in `ending`, or of those named on the command line, one after
 * the other, and prints `{name: figures}` as JSON on standard output. One that throws is named on standard error and the
 * exit code is 1; the others still run.
 *
 * @param {URL} folder
 * @param {string} ending
 */
export async function runFigures(folder, ending) {
  const wanted = process.argv.slice(2);
  const names = readdirSync(fileURLToPath(folder))
    .filter((file) => file.endsWith(ending))
    .map((file) => file.slice(0, -ending.length))
    .sort();
  const unknown = wanted.filter((name) => !names.includes(name));
  if (unknown.length) {
    console.error(`There is no ${unknown.join(', ')}; there are: ${names.join(', ')}.`);
    process.exit(2);
  }
  /** @type {Record<string, unknown>} */
  const figures = {};
  for (const name of wanted.length ? wanted : names) {
    console.error(`${name} …`);
    try {
      const part = await import(new URL(name + ending, folder).href);
      figures[name] = await part.default();
    } catch (error) {
      console.error(`${name} failed:`, error);
      process.exitCode = 1;
    }
  }
  console.log(JSON.stringify(figures, null, 2));
}
