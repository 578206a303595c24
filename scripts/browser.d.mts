/** Types of browser.mjs for the editor tests. */
export const howToGetABrowser: string;
export function findBrowser(env?: NodeJS.ProcessEnv, platform?: NodeJS.Platform): string | undefined;
