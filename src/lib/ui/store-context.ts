import { createContext } from 'svelte';
import type { KerbsideDatabase } from '../store/database.ts';

const [get, set] = createContext<KerbsideDatabase>();

/** Hands the device's database down to every screen; called once, by the outermost page. */
export const provideStore = set;

/** The device's database. Call while a component is set up. */
export const useStore = get;
