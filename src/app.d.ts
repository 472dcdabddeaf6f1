import type { Hub } from '$lib/server/hub.ts';

declare global {
  namespace App {
    interface Error {
      message: string;
    }
    interface Locals {
      hub: Hub;
    }
  }
}

export {};
