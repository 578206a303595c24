import type { Metafile } from 'esbuild';

/** Types of bom.mjs for the tests. */
export interface Bom {
  readonly specVersion: string;
  readonly metadata: { readonly component: { readonly 'bom-ref': string; readonly version: string } };
  readonly components: readonly {
    readonly 'bom-ref': string;
    readonly group?: string;
    readonly name: string;
    readonly version: string;
    readonly purl: string;
    readonly hashes: readonly { readonly alg: string; readonly content: string }[];
    readonly licenses: readonly object[];
    readonly properties: readonly { readonly name: string; readonly value: string }[];
  }[];
  readonly dependencies: readonly { readonly ref: string; readonly dependsOn: readonly string[] }[];
}

interface Lock {
  readonly packages: Readonly<Record<string, object>>;
}

export const bomFile: string;
export function billOfMaterials(bundles: Readonly<Record<string, Metafile>>, lock?: Lock): Bom;
