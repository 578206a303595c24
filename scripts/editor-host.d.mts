/** Types of editor-host.mjs for the editor tests. */
export interface EditorPlaces {
  serverMain: string;
  userData: string;
  extensions: string;
}
export interface RunningEditor {
  url: string;
  ended: Promise<unknown>;
  end(): Promise<void>;
}
export function fetchEditorServer(): Promise<string>;
export function fetchWebHost(): Promise<string>;
export function installExtension(options: EditorPlaces & { vsix: string }): Promise<void>;
export function startEditor(options: EditorPlaces): Promise<RunningEditor>;
