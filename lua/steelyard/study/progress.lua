--- How far a study is, on a terminal: one line on stderr, and the remark that it will take long.
--
--   local shown <close> = progress.new{label = "36 variants", blocks = 40, quiet = false}
--   shown:step(12)      -- twelve blocks are done
--   shown:search(640, "boxes searched")  -- of a search without a known end (no `blocks`)
--
-- The line comes after half a second and is written again twice a second; it is gone when the study ends. None is written where stderr is
-- no terminal, or with quiet. A study that will take more than ten seconds says so once, when its first blocks have shown how fast it is,
-- also where nobody looks: that line stays.

local core = require "steelyard.core"
local text = require "steelyard.print.text"

local progress = {}

local FIRST, EVERY = 0.5, 0.5 -- s: sooner a line would only flicker, oftener nobody reads it
local LONG = 10               -- s
local MEASURED = 0.2          -- s of blocks that tell how fast it is: four of the longest there should be

--- "8 s", "12 min", "3 h 20 min": as finely as such an estimate holds.
function progress.duration(seconds)
  if seconds < 90 then return ("%d s"):format(math.max(1, math.ceil(seconds))) end
  local minutes = math.ceil(seconds / 60)
  if minutes < 90 then return ("%d min"):format(minutes) end
  return ("%d h %d min"):format(minutes // 60, minutes % 60)
end

local Progress = {}
Progress.__index = Progress

-- Writes over what stands in the line.
local function write(p, words)
  local rest = p.width - #words
  io.stderr:write("\r", words, (" "):rep(rest), rest > 0 and words == "" and "\r" or "")
  io.stderr:flush()
  p.width = #words
end

-- Seconds for what is left, if it goes on as so far.
local function left(p, done, now) return (now - p.began) / (done - p.before) * (p.blocks - done) end

local function announce(p, done, now)
  if p.announced or now - p.began < MEASURED then return end
  p.announced = true
  local rest = left(p, done, now)
  if rest <= LONG or p.quiet then return end
  p:erase()
  io.stderr:write(("%s: about %s; Ctrl-C stops and keeps what is done\n"):format(p.label, progress.duration(rest)))
end

--- `done` blocks are done.
function Progress:step(done)
  local now = core.seconds()
  if done <= self.before or done >= self.blocks then return end
  announce(self, done, now)
  if not self.visible or now < self.next then return end
  self.next = now + EVERY
  write(self, ("%s: %d %%, %s left"):format(self.label, math.floor(100 * done / self.blocks), progress.duration(left(self, done, now))))
end

--- So many steps of a search are done, of which nobody knows how many there will be.
function Progress:search(done, what)
  local now = core.seconds()
  if not self.visible or now < self.next then return end
  self.next = now + EVERY
  write(self, ("%s: %s %s so far"):format(self.label, text.grouped(done), what))
end

--- Take the line away. A terminal shows ^C behind it where Ctrl-C was typed.
function Progress:erase()
  if self.width == 0 then return end
  self.width = self.width + 2
  write(self, "")
end

Progress.__close = Progress.erase

--- `before`: blocks that were done before this run, and say nothing about its speed; default 0.
function progress.new(o)
  local now = core.seconds()
  return setmetatable({label = o.label, blocks = o.blocks, before = o.before or 0, quiet = o.quiet, began = now, next = now + FIRST,
    width = 0, visible = not o.quiet and core.stderr_is_terminal()}, Progress)
end

return progress
