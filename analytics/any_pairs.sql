-- Question: is any swing paired with a ball at all?
-- Grain: one row.
SELECT EXISTS (SELECT 1 FROM pairs WHERE role = 'strike') AS there;
