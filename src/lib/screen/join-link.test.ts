import { expect, test } from 'vitest';
import { readJoinLink } from './join-link.ts';

test('reads the link that Hand-off shows', () => {
  expect(readJoinLink('http://192.168.4.20:4173/join#KFM-7XRA-34T')).toEqual({
    origin: 'http://192.168.4.20:4173',
    code: 'KFM-7XRA-34T',
  });
  expect(readJoinLink('HTTPS://Hub.Test/join#KFM')).toBeNull();
  expect(readJoinLink('https://Hub.Test/join#KFM')).toEqual({ origin: 'https://hub.test', code: 'KFM' });
});

test('takes no other text for one', () => {
  for (const text of [
    '',
    'KFM-7XRA-34T',
    'https://hub.test/join',
    'https://hub.test/join#',
    'https://hub.test/other#KFM',
    'https://hub.test/join#K FM',
    'javascript:alert(1)/join#KFM',
    `https://hub.test/join#${'A'.repeat(65)}`,
  ]) {
    expect(readJoinLink(text)).toBeNull();
  }
});
