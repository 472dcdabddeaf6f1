/** Who speaks to the hub, least first. The organiser's token is the organiser key itself. */
export const ROLES = ['observer', 'analyst', 'organiser'] as const;
export type Role = (typeof ROLES)[number];

/** Whether `role` may do what asks for at least `least`. */
export function hasRole(role: Role, least: Role): boolean {
  return ROLES.indexOf(role) >= ROLES.indexOf(least);
}
