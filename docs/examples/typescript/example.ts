// Prints, for every player, the speed that a carry of 7 m needs with a sand wedge.
// Types come from the service's own description: npm run generate.
import createClient from "openapi-fetch";
import type { components, paths } from "./carrybook";

type Answer = components["schemas"]["AnswerModel"];

export function inWords(answer: Answer): string {
  if (answer.value === null || answer.low === null || answer.high === null) {
    return `too early: ${answer.need ?? ""}`;
  }
  const interval = `${answer.low.toFixed(1)} to ${answer.high.toFixed(1)} ${answer.unit}`;
  return `${answer.value.toFixed(1)} ${answer.unit} (${interval}, ${answer.state})`;
}

export async function speeds(address: string, key: string): Promise<string[]> {
  const book = createClient<paths>({
    baseUrl: address,
    headers: { Authorization: `Bearer ${key}` },
  });
  const { data: players, error } = await book.GET("/v1/players", {});
  if (error !== undefined) {
    throw new Error(`${error.code}: ${error.mend}`);
  }
  const lines: string[] = [];
  for (const player of players.items) {
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
