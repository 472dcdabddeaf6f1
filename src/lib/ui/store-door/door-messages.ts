/** To a worker, before all else; with the doors to the page's database where it may have none of its own. */
export interface DoorMessage {
  readonly own: boolean;
}

export interface DoorAsked {
  readonly id: number;
  readonly call: string;
  readonly args: readonly unknown[];
}

export type DoorAnswer =
  { readonly id: number; readonly value: unknown } | { readonly id: number; readonly fault: string };
