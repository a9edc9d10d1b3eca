-- For wrk: 10 connections, each pausing 50 ms before its next request, ask about 200 times a second.
--   wrk -t1 -c10 -d30s --latency -s bench/rate.lua http://127.0.0.1:8420/api/plan
-- wrk counts from the sending, not from when a request was due; service_bench.mjs counts from when it was due.
function delay()
  return 50
end
