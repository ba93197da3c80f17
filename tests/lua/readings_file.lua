--- For tests of readers: dofile "tests/lua/readings_file.lua"("steelyard.measure.hang_cg.file") gives a function of lines of text,
-- which writes them to a file, reads it and takes it away again. Errors name it "the file".

return function(module)
  local read = require(module).of
  return function(lines)
    local path = os.tmpname()
    local file = assert(io.open(path, "wb"))
    file:write(table.concat(lines, "\n"), "\n")
    file:close()
    local fine, answer = pcall(read, path)
    os.remove(path)
    if not fine then
      if type(answer) == "table" and answer.file == path then answer.file = "the file" end
      error(answer, 0)
    end
    return answer
  end
end
