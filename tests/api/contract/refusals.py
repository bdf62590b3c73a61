"""A check of our own beside those of schemathesis, loaded by its command line.

Some questions have rules that join parameters, or a parameter and the rows, which no description
can state: a hole is not nearer than the green's edge, a carry is not beyond what was seen. For
these alone is 422 an answer to a request that fits, and then it names the rule by its code.
"""

import schemathesis

RULES = {"bad_question", "out_of_range"}


@schemathesis.check
def fitting_requests_are_refused_by_a_rule_alone(ctx, response, case):
    """No 422 that speaks of the description, for a request that fits it."""
    fits = case.meta is not None and case.meta.generation.mode.is_positive
    if fits and response.status_code == 422:
        code = response.json()["code"]
        assert code in RULES, f"A request that fits was refused as {code}"
