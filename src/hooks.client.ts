import type { ClientInit } from '@sveltejs/kit';
import { startEarlyFindings } from '$lib/ui/findings/worker/early-findings.ts';

export const init: ClientInit = () => startEarlyFindings(location.pathname);
