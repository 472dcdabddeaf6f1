export interface DoorAsked {
  readonly id: number;
  readonly call: string;
  readonly args: readonly unknown[];
}

export type DoorAnswer =
  { readonly id: number; readonly value: unknown } | { readonly id: number; readonly fault: string };
