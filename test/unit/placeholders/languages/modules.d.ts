// What tests use of packages that bring no types.

declare module 'nunjucks' {
  class Environment {
    constructor(loader: null, options: { autoescape: boolean });
    renderString(text: string, job: object): string;
  }
  const nunjucks: { Environment: typeof Environment };
  export default nunjucks;
}

declare module 'ejs' {
  const ejs: { render(text: string, job: object): string };
  export default ejs;
}
