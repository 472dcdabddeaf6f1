/** Says on every screen that sightings are left out because the race no longer has their checkpoint. */
export function offCourseWords(sightings: number): string {
  return sightings === 1
    ? '1 sighting is left out: its checkpoint is no longer in the set-up.'
    : `${sightings.toLocaleString('en-GB')} sightings are left out: their checkpoint is no longer in the set-up.`;
}
