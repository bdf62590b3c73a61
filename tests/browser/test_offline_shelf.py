"""What the phone keeps for a green without signal: the worker's own code over a network we play."""

from importlib import resources

WORKER = resources.files("api").joinpath("static", "worker.js").read_text("utf-8")
PLAY = """async (worker) => {
  let network = "up";
  const fetched = async (request) => {
    if (network === "down") throw new Error("no signal");
    return new Response(request.url, { status: network === "up" ? 200 : 503 });
  };
  const self = { addEventListener() {}, clients: {} };
  const ask = new Function("self", "fetch", worker + "; return keptFirst;")(self, fetched);
  const file = (digest) => new Request("/static/book.css?v=" + digest);
  const shelf = await caches.open(new Function("self", worker + "; return SHELF;")(self));
  const told = [];
  for (const [state, digest] of [["up", 1], ["down", 2], ["broken", 2], ["down", 1], ["up", 2]]) {
    network = state;
    const answer = await ask(file(digest));
    const there = (await shelf.keys()).map((one) => one.url.split("v=")[1]);
    told.push([answer.status, there.join()]);
  }
  return told;
}"""


def test_a_file_is_let_go_only_once_the_one_that_replaces_it_is_there(browser, address):
    context = browser.new_context(service_workers="block", bypass_csp=True)
    page = context.new_page()
    page.goto(f"{address}/settings")
    told = page.evaluate(PLAY, WORKER)
    context.close()
    assert told == [[200, "1"], [200, "1"], [503, "1"], [200, "1"], [200, "2"]]
