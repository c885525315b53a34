/** What a sound contact adds, near enough for a sketch [Ω]. */
export const SOUND_OHMS = 0.28;
