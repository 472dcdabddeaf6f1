import type { IncomingMessage } from 'node:http';
import type { Hub } from '$lib/server/hub.ts';

declare global {
  namespace App {
    interface Error {
      message: string;
    }
    /** As the server's entry hands it over; not there under the development server. */
    interface Platform {
      req: IncomingMessage;
    }
    interface Locals {
      hub: Hub;
    }
  }
}

export {};
