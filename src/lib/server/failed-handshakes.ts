import type { Server } from 'node:https';
import { errorCode } from './database/storage-state.ts';
import type { SecurityLog } from './security-log.ts';

/**
 * Notes who comes to the https port and does not get through: most often a tablet that has not installed the hub's authority.
 */
export function noteFailedHandshakes(server: Server, log: SecurityLog): void {
  server.on('tlsClientError', (error, { remoteAddress }) => {
    log.handshakeFailed(errorCode(error), remoteAddress ?? 'a connection that is gone');
  });
}
