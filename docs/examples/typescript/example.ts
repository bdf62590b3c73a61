// Says, for every player, the speed that a carry of 7 m needs with a sand wedge.
// Types come from the service's own description: npm run generate.
import createClient, { type Client } from "openapi-fetch";
import type { components, paths } from "./carrybook";

type Answer = components["schemas"]["AnswerModel"];
type Player = components["schemas"]["PlayerBody"];

export function inWords(answer: Answer): string {
  if (answer.value === null || answer.low === null || answer.high === null) {
    return `too early: ${answer.need ?? ""}`;
  }
  const interval = `${answer.low.toFixed(1)} to ${answer.high.toFixed(1)} ${answer.unit}`;
  return `${answer.value.toFixed(1)} ${answer.unit} (${interval}, ${answer.state})`;
}

// A list leads on by its Link header until there is no next page.
export async function everyPlayer(book: Client<paths>, limit = 100): Promise<Player[]> {
  const found: Player[] = [];
  let after = "";
  for (;;) {
    const { data, error, response } = await book.GET("/v1/players", {
      params: { query: { after, limit } },
    });
    if (error !== undefined) {
      throw new Error(`${error.code}: ${error.mend}`);
    }
    found.push(...data.items);
    const next = /[?&]after=([^&>]+)/.exec(response.headers.get("link") ?? "")?.[1];
    if (next === undefined) {
      return found;
    }
    after = decodeURIComponent(next);
  }
}

export async function speeds(address: string, key: string, limit = 100): Promise<string[]> {
  const book = createClient<paths>({
    baseUrl: address,
    headers: { Authorization: `Bearer ${key}` },
  });
  const lines: string[] = [];
  for (const player of await everyPlayer(book, limit)) {
    const { data } = await book.GET("/v1/players/{player_id}/carry-curves/{club}/speed-for", {
      params: {
        path: { player_id: player.player_id, club: "SW" },
        query: { carry_m: 7 },
      },
    });
    lines.push(`${player.display_name}: ${data ? inWords(data.speed) : "no answer yet"}`);
  }
  return lines;
}
