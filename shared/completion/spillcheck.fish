# Completion of spillcheck for fish. To use it: spillcheck completion fish > ~/.config/fish/completions/spillcheck.fish

function __spillcheck_words
    set -l before (commandline -opc)
    set -l word (commandline -ct)
    # fish removes the quotes of words, the program needs them
    set -l quoted (string escape --no-quoted -- $before[2..-1])
    set -l lines (command $before[1] completion words -- $quoted "$word" 2>/dev/null)
    if string match -q -- \t'*' "$lines[1]"
        __fish_complete_path $word
    else
        printf '%s\n' $lines
    end
end

complete -c spillcheck -f -a '(__spillcheck_words)'
