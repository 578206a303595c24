/** Types of package.mjs for the editor tests. */
export function packageExtension(path?: string): Promise<string>;
