export const NUMBERS_SOURCE: string;
export function numbersText(): Promise<string>;
export function compileKernel(numbers: string): Promise<Uint8Array>;
export function moduleText(bytes: Uint8Array): string;
