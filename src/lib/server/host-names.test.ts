import { hostname } from 'node:os';
import { expect, test } from 'vitest';
import { givenNames, namesThisHub } from './host-names.ts';

test.each([
  'localhost',
  'LOCALHOST:4173',
  '127.0.0.1:80',
  '127.9.9.9',
  '[::1]:4173',
  hostname(),
  `${hostname()}.local:4173`,
])('%s is this hub', (host) => {
  expect(namesThisHub(host, [])).toBe(true);
});

test.each(['evil.example', '203.0.113.9', 'localhost.evil.example', '127.0.0.1.evil.example', '', '[2001:db8::1]'])(
  '%s is not',
  (host) => {
    expect(namesThisHub(host, [])).toBe(false);
  },
);

test('names are given with commas, by HOST and by ORIGIN', () => {
  const given = givenNames({
    KERBSIDE_NAMES: 'hub.club.example, 203.0.113.9',
    HOST: '0.0.0.0',
    ORIGIN: 'https://race.example:8443',
  });
  expect(given).toEqual(['hub.club.example', '203.0.113.9', 'race.example']);
  expect(namesThisHub('Hub.Club.Example:4173', given)).toBe(true);
  expect(namesThisHub('203.0.113.9', given)).toBe(true);
});
