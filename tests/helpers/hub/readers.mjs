// A process of readers: each token pulls the whole race at the same time. Its argument says of which hub.
import process from 'node:process';

/** @type {{ url: string, race: string, tokens: string[] }} */
const { url, race, tokens } = JSON.parse(process.argv[2] ?? '');

/** @param {string} token */
async function readAll(token) {
  for (let after = '', more = true; more;) {
    const answer = await fetch(`${url}/api/v1/races/${race}/records?limit=10000${after}`, {
      headers: { authorization: `Bearer ${token}` },
    });
    if (!answer.ok) throw new Error(`pull: ${answer.status}`);
    // The end of a page says how to go on; reading all of it as JSON would measure this process.
    const text = await answer.text();
    const end = /"cursor":"([^"]+)","more":(true|false)\}$/.exec(text.slice(-200));
    if (!end) throw new Error('a page without its end');
    after = `&after=${end[1]}`;
    more = end[2] === 'true';
  }
}

await Promise.all(tokens.map(readAll));
