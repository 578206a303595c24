export function compileKernel(): Promise<Uint8Array>;
export function moduleText(bytes: Uint8Array): string;
