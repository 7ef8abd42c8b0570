/** The style sheet of tokens, made by vite.config.ts. */
declare module "virtual:tokens.css";
