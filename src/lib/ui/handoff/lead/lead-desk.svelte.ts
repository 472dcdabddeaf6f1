import type { Attempt } from '../../../records/attempt.ts';
import type { Role } from '../../../records/roles.ts';
import type {
  DeviceState,
  HeldUp,
  HubAddresses,
  JoinCodes,
  JoinRole,
  RefusedRecord,
  TokenState,
} from '../../../wire/wire.ts';
import type { KerbsideDatabase } from '../../../store/database.ts';
import { findHubLink, removeHubLink } from '../../../store/hub/hub-links.ts';
import { HubClient, type HubFailure } from '../../../sync/hub-client.ts';
import { leadCalls } from '../../../sync/lead-calls.ts';
import { failureAdvice } from '../../../sync/sync-words.ts';
import { browserSurroundings } from '../../browser-surroundings.ts';

/** What the lead sees and does at the hub: devices, codes, refused records, erasing. */
export class LeadDesk {
  #devices = $state.raw<readonly DeviceState[] | null>(null);
  #codes = $state.raw<JoinCodes | null>(null);
  #addresses = $state.raw<HubAddresses | null>(null);
  #refused = $state.raw<readonly RefusedRecord[]>([]);
  #heldUp = $state.raw<readonly HeldUp[]>([]);
  #tokens = $state.raw<readonly TokenState[]>([]);
  #problem = $state('');
  #erased = $state(false);
  readonly #db: KerbsideDatabase;
  readonly #raceId: string;

  constructor(db: KerbsideDatabase, raceId: string) {
    this.#db = db;
    this.#raceId = raceId;
  }

  get devices() {
    return this.#devices;
  }
  get codes() {
    return this.#codes;
  }
  get addresses() {
    return this.#addresses;
  }
  get refused() {
    return this.#refused;
  }
  /** Who met a limit of the race. */
  get heldUp() {
    return this.#heldUp;
  }
  get problem() {
    return this.#problem;
  }
  get erased() {
    return this.#erased;
  }

  /** The name under which a device's token can be revoked, if it has one. */
  tokenKey(device: string): string | undefined {
    return this.#tokens.find((token) => token.device === device)?.key;
  }

  /** Reads the board of devices anew, and for the organiser who is held up and what was refused. */
  async refresh(role: Role): Promise<void> {
    if (role === 'observer') return;
    await this.#ask(leadCalls.devices, (devices) => (this.#devices = devices));
    if (role !== 'organiser') return;
    await this.#ask(leadCalls.heldUp, (heldUp) => (this.#heldUp = heldUp));
    await this.#ask(leadCalls.refused, ({ records }) => (this.#refused = records));
    await this.#ask(leadCalls.tokens, (tokens) => (this.#tokens = tokens));
  }

  /** Reads codes and addresses: they seldom change. */
  async readCodes(): Promise<void> {
    await this.#ask(leadCalls.codes, (codes) => (this.#codes = codes));
    await this.#ask(leadCalls.addresses, (addresses) => (this.#addresses = addresses));
  }

  async renew(role: JoinRole): Promise<void> {
    await this.#ask(
      (client, race) => leadCalls.renewCodes(client, race, [role]),
      (codes) => (this.#codes = codes),
    );
  }

  async revoke(device: string): Promise<void> {
    const key = this.tokenKey(device);
    if (key === undefined) return;
    await this.#ask(
      (client, race) => leadCalls.revoke(client, race, key),
      () => {
        this.#tokens = this.#tokens.filter((token) => token.key !== key);
        this.#heldUp = this.#heldUp.filter((held) => held.device !== device);
      },
    );
  }

  /** Lifts the limits of a device, or with null those of all observers together. */
  async lift(device: string | null): Promise<void> {
    await this.#ask(
      (client, race) => leadCalls.lift(client, race, device),
      (heldUp) => (this.#heldUp = heldUp),
    );
  }

  /** Shuts out all observers' devices that joined at an instant or later. */
  async shutOutSince(joinedSince: string): Promise<void> {
    await this.#ask(
      (client, race) => leadCalls.revokeSince(client, race, joinedSince),
      () => undefined,
    );
    await this.refresh('organiser');
  }

  /** Erases the race at the hub. What this device holds stays; its link to the hub is cut. */
  async erase(name: string): Promise<void> {
    await this.#ask(
      (client, race) => leadCalls.erase(client, race, name),
      () => (this.#erased = true),
    );
    if (this.#erased) await removeHubLink(this.#db, this.#raceId);
  }

  async #ask<Value>(
    call: (client: HubClient, race: string) => Promise<Attempt<Value, HubFailure>>,
    take: (value: Value) => void,
  ): Promise<void> {
    const link = await findHubLink(this.#db, this.#raceId);
    if (!link) return;
    const answer = await call(new HubClient(browserSurroundings, link.token), this.#raceId);
    this.#problem = answer.ok ? '' : failureAdvice(answer.error);
    if (answer.ok) take(answer.value);
  }
}
