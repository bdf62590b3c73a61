// BOOK=http://127.0.0.1:8000 KEY=cb_… npm start
import { speeds } from "./example.js";

declare const process: { env: Record<string, string | undefined> };

const { BOOK = "http://127.0.0.1:8000", KEY = "", LIMIT = "100" } = process.env;
console.log((await speeds(BOOK, KEY, Number(LIMIT))).join("\n"));
