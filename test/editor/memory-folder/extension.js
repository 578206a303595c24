// A file system in memory, filled from files.json beside this file (made by the test's server), so that the web
// host has a folder that is on no disk. Folders are the prefixes of the paths; nothing else is kept about them.

const vscode = require('vscode');

exports.activate = async (context) => {
  const answer = await fetch(vscode.Uri.joinPath(context.extensionUri, 'files.json').toString(true));
  const files = new Map();
  for (const [path, base64] of Object.entries(await answer.json())) {
    files.set(`/demo/${path}`, { bytes: Uint8Array.from(atob(base64), (char) => char.charCodeAt(0)), mtime: 1 });
  }
  context.subscriptions.push(
    vscode.workspace.registerFileSystemProvider('memory', provider(files), { isCaseSensitive: true }),
  );
};

function provider(files) {
  const changes = new vscode.EventEmitter();

  const children = (folder) => {
    const prefix = folder.endsWith('/') ? folder : `${folder}/`;
    const found = new Map();
    for (const path of files.keys()) {
      if (!path.startsWith(prefix)) continue;
      const [name, ...rest] = path.slice(prefix.length).split('/');
      found.set(name, rest.length > 0 ? vscode.FileType.Directory : vscode.FileType.File);
    }
    return [...found];
  };

  const file = (uri) => {
    const found = files.get(uri.path);
    if (!found) throw vscode.FileSystemError.FileNotFound(uri);
    return found;
  };

  return {
    onDidChangeFile: changes.event,
    watch: () => new vscode.Disposable(() => {}),
    readDirectory: (uri) => children(uri.path),
    readFile: (uri) => file(uri).bytes,
    stat(uri) {
      if (!files.has(uri.path) && children(uri.path).length > 0) {
        return { type: vscode.FileType.Directory, ctime: 1, mtime: 1, size: 0 };
      }
      const { bytes, mtime } = file(uri);
      return { type: vscode.FileType.File, ctime: 1, mtime, size: bytes.length };
    },
    writeFile(uri, bytes) {
      const before = files.get(uri.path);
      files.set(uri.path, { bytes, mtime: (before?.mtime ?? 0) + 1 });
      changes.fire([{ type: before ? vscode.FileChangeType.Changed : vscode.FileChangeType.Created, uri }]);
    },
    delete(uri) {
      files.delete(uri.path);
      changes.fire([{ type: vscode.FileChangeType.Deleted, uri }]);
    },
    rename(from, to) {
      files.set(to.path, file(from));
      files.delete(from.path);
      changes.fire([
        { type: vscode.FileChangeType.Deleted, uri: from },
        { type: vscode.FileChangeType.Created, uri: to },
      ]);
    },
    createDirectory: (uri) => {
      throw vscode.FileSystemError.NoPermissions(uri);
    },
  };
}
