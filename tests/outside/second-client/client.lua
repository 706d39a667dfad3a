-- Opens a board, lets the own client of Neovim talk to the server, writes down what arrived as JSON.
local board, server, out = vim.env.BOARD, vim.env.SERVER, vim.env.OUT
local got = { diagnostics = {}, hover = vim.NIL, completion = {} }

local function finish(status)
  local file = assert(io.open(out, 'w'))
  file:write(vim.fn.json_encode(got))
  file:close()
  vim.cmd(status == 0 and 'qall!' or 'cquit!')
end

vim.cmd('edit ' .. vim.fn.fnameescape(board))
local buffer = vim.api.nvim_get_current_buf()
vim.bo[buffer].filetype = 'buzzout-board'
local id = vim.lsp.start_client({
  name = 'buzzout',
  cmd = { vim.env.NODE, server, 'server', '--stdio' },
  root_dir = vim.fn.fnamemodify(board, ':h'),
})
if not id then finish(1) end
vim.lsp.buf_attach_client(buffer, id)

-- A place in the text: the first occurrence of some words, and so many characters into it.
local function place(words, into)
  for number, line in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, false)) do
    local start = line:find(words, 1, true)
    if start then return { line = number - 1, character = start - 1 + into } end
  end
end
local function ask(method, position)
  local params = { textDocument = vim.lsp.util.make_text_document_params(buffer), position = position }
  local answers = vim.lsp.buf_request_sync(buffer, method, params, 20000) or {}
  return answers[id] and answers[id].result
end

vim.wait(20000, function() return #vim.diagnostic.get(buffer) >= tonumber(vim.env.WANTED) end, 50)
for _, one in ipairs(vim.diagnostic.get(buffer)) do
  table.insert(got.diagnostics, { line = one.lnum, code = one.code, severity = one.severity, source = one.source })
end
local told = ask('textDocument/hover', place('U1.OUTL', 4))
if told then got.hover = told.contents.value end

-- Typed into the buffer, so that the change goes to the server as Neovim sends it.
local last = vim.api.nvim_buf_line_count(buffer)
vim.api.nvim_buf_set_lines(buffer, last, last, false, { 'readings:', '  - U1.' })
local offered = ask('textDocument/completion', { line = last + 1, character = 7 })
for _, item in ipairs(offered and (offered.items or offered) or {}) do table.insert(got.completion, item.label) end
finish(0)
